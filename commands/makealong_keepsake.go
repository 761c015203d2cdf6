package commands

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"countwright/commands/reply"
	"countwright/commands/words"
)

// figures are what a group made together, as they are told to everybody: sums
// alone, and none where they would tell of one member.
type figures struct {
	Members  int
	Told     bool // there are enough members for the sums
	Finished int  // projects
	Rows     int
	Stitches int
	Grams    float64 // of yarn worked up, as far as it was weighed
	Metres   float64 // of yarn in the stitches worked, as reckoned
}

// groupFigures sums up the projects of everybody who takes part.
func groupFigures(ctx context.Context, s Services, m MakeAlong) (figures, error) {
	all, err := s.MakeAlongs.Party(ctx, m.ID)
	if err != nil {
		return figures{}, fmt.Errorf("list who takes part: %w", err)
	}
	f := figures{Members: len(all), Told: len(all) >= fewest}
	if !f.Told {
		return f, nil
	}
	for _, p := range all {
		if p.Work == Finished {
			f.Finished++
		}
		for _, n := range p.Done {
			f.Rows += n
		}
		if p.Project == 0 || s.Projects == nil {
			continue
		}
		book, there, err := s.Projects.Open(ctx, p.Member, p.Project)
		if err != nil {
			return f, fmt.Errorf("open project %d: %w", p.Project, err)
		}
		if !there {
			continue
		}
		w := &work{ProjectBook: book, pieces: book.Pinned.Plan.Pieces()}
		if w.tally, err = book.Pinned.Plan.Tally(book.Moves, m.zone()); err != nil {
			return f, fmt.Errorf("tally project %d: %w", p.Project, err)
		}
		f.Stitches += w.tally.Stitches
		f.Metres += book.Pinned.Yarn.Metres * w.tally.Share()
		if y := w.yarnLeft(); y.known {
			f.Grams += y.used
		}
	}
	return f, nil
}

// sentences are the figures in words; none where there is nothing to tell.
func (f figures) sentences(p words.Printer) []string {
	if !f.Told {
		return nil
	}
	var said []string
	if f.Rows > 0 {
		text := p.Say("Together: %s.", manyRows(f.Rows))
		if f.Stitches > 0 {
			text = p.Say("Together: %s stitches in %s.", thousands(f.Stitches), manyRows(f.Rows))
		}
		said = append(said, text)
	}
	switch {
	case f.Finished == f.Members:
		said = append(said, p.Say("Every project is finished."))
	case f.Finished > 0:
		said = append(said, p.Count(f.Finished, "%d project is finished; the others grow on.", "%d projects are finished; the others grow on."))
	}
	if grams := 10 * int(math.Round(f.Grams/10)); grams > 0 {
		said = append(said, p.Say("About %s g of yarn found their form, as far as it was weighed.", thousands(grams)))
	}
	return said
}

// manyRows counts rows that can be thousands.
func manyRows(n int) words.Message {
	return words.Count(n, "%[2]s row", "%[2]s rows", thousands(n))
}

// keepsake is a make-along as its host may keep it: its calendar, who was there
// as far as they chose to be named, what was made and shown, and a farewell. It
// is Markdown that reads well as plain text.
func keepsake(ctx context.Context, s Services, r Request, m MakeAlong) (reply.File, error) {
	all, err := party(ctx, s, m)
	if err != nil {
		return reply.File{}, err
	}
	answers, err := s.MakeAlongs.Answers(ctx, m.ID, -1)
	if err != nil {
		return reply.File{}, fmt.Errorf("read answers: %w", err)
	}
	shown, err := s.MakeAlongs.Gallery(ctx, m.ID)
	if err != nil {
		return reply.File{}, fmt.Errorf("read the gallery: %w", err)
	}
	made, err := groupFigures(ctx, s, m)
	if err != nil {
		return reply.File{}, err
	}
	return reply.File{Name: strings.TrimSuffix(fileName(m.Name, "keepsake"), ".txt") + ".md", Type: "text/markdown; charset=utf-8", Body: []byte(keepsakeText(standing(r.Printer, m, all, answers), all, shown, made))}, nil
}

func keepsakeText(b groupStanding, all []Participant, shown []Shared, sums figures) string {
	m := b.m
	var out strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&out, format+"\n", args...) }
	line("# %s\n", plainMark(m.Name))
	what := m.Course.Pattern
	if m.Course.Version != "" {
		what = b.Say("%s, version %s", what, m.Course.Version)
	}
	made := words.Key("Made together: %s. It began on %s.")
	if m.Course.Tester {
		made = "Tested together: %s. It began on %s."
	}
	line("%s\n", b.Say(made, plainMark(what), longDate(b.Printer, m.Course.Start)))
	if len(b.stages) > 0 {
		line("## %s\n", b.Say("The calendar"))
		for i, s := range b.stages {
			text := fmt.Sprintf("%d. %s, %s", i+1, plainMark(s.title), longDate(b.Printer, s.date))
			if n := s.reached(); n > 0 {
				text = b.Say("%s: %d came to it", text, n)
			}
			line("%s", text)
		}
		line("")
	}
	line("## %s\n", b.Say("Who was there"))
	line("%s\n", plainMark(whoWasThere(b.Printer, all)))
	if said := sums.sentences(b.Printer); len(said) > 0 {
		line("## %s\n", b.Say("What was made"))
		line("%s\n", strings.Join(said, " "))
	}
	if len(shown) > 0 {
		line("## %s\n", b.Say("What was shown"))
		for _, s := range shown {
			line("- %s", plainMark(s.line(b.Printer, m)))
		}
		line("")
	}
	line("## %s\n", b.Say("Farewell"))
	line("%s", b.Say("Thank you for the company. Each piece is as individual as the hands that made it, and what still grows has all the time it wants."))
	return out.String()
}

// whoWasThere names those who chose to be named, and counts the others.
func whoWasThere(p words.Printer, all []Participant) string {
	var names []string
	for _, one := range all {
		if one.Name != "" {
			names = append(names, one.Name)
		}
	}
	slices.SortFunc(names, byName)
	others := len(all) - len(names)
	switch {
	case len(all) == 0:
		return p.Say("Nobody joined this time; the calendar is there for another.")
	case len(names) == 0:
		return p.Count(others, "%d maker.", "%d makers.")
	case others == 0:
		return strings.Join(names, ", ") + "."
	}
	return p.Count(others, "%[2]s, and %[1]d more maker.", "%[2]s, and %[1]d more makers.", strings.Join(names, ", "))
}

// plainMark keeps Markdown from reading a member's text as markup, and on one
// line.
func plainMark(s string) string {
	var b strings.Builder
	for _, r := range strings.Join(strings.Fields(s), " ") {
		switch {
		case unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r):
			continue // it would turn what follows around
		case strings.ContainsRune("\\`*_[]<>#|~", r):
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}
