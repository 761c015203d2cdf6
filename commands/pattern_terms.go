package commands

import (
	"context"
	"path"
	"strings"

	"countwright/calc/notation"
	"countwright/commands/reply"
	"countwright/commands/words"
)

func patternTerms(s Services) *Command {
	from := newTextOptions(s)
	to := OneOf("to", "The terms to put it into; if not said, those it is not in", "US", "UK")
	terms := termsOption()
	return &Command{
		Name: "terms", Short: "Put a pattern from US into UK terms, or back, notes and all",
		Want:    "read a UK pattern in US terms, or a US pattern in UK terms",
		Options: []Option{from.text, from.file, from.name, to, terms},
		Examples: []string{
			`/pattern terms text:"Row 1: hdc in 3rd ch from hook and in each ch across (20 hdc)\nRow 2: ch 2, sk first st, hdc2tog, sc in each st across"`,
			`/pattern terms text:"Row 1: 1 tr in 4th ch from hook and in each ch to end. Tension is not important." to:US`,
		},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			t, ask, err := from.read(ctx, r, "Put rows into other terms")
			if err != nil || ask != nil {
				return formReply(ask), err
			}
			if t.file {
				return reply.Reply{}, Mistaken("/help command:resize", "a pattern file holds no rows; its rows are written by /resize, in either terms")
			}
			tr := newTranslation(r, t, terms.Of(r))
			if to.Given(r) {
				tr.to = termsNamed(to.Of(r))
			}
			return tr.reply(), nil
		},
	}
}

// translation is a text on its way to other terms.
type translation struct {
	words.Printer // of who reads the answer
	written
	from, to notation.Terms
	said     bool // the member says what it is written in
	found    notation.Detection
}

func newTranslation(r Request, t written, from notation.Terms) translation {
	tr := translation{Printer: r.Printer, written: t, from: from, said: from != notation.TermsUnsaid, found: notation.DetectTerms(t.text)}
	if !tr.said {
		tr.from = tr.found.Terms
		if len(tr.found.Evidence) == 0 && r.Settings.Terms == notation.UK {
			tr.from = notation.UK
		}
	}
	tr.to = notation.UK
	if tr.from == notation.UK || tr.from == notation.Older && r.Settings.Terms != notation.UK {
		tr.to = notation.US
	}
	return tr
}

func (t translation) reply() reply.Reply {
	text, problems := notation.Translate(t.text, t.from, t.to)
	data := map[string]any{"from": t.from.String(), "to": t.to.String(), "certain": t.found.Certain || t.said, "mixed": t.found.Mixed, "text": text}
	out := reply.Reply{Title: t.Say("In %s terms", t.to), Data: data, Parts: []reply.Block{reply.Text{Text: t.readAs()}}}
	if t.found.Mixed {
		out.Parts = append(out.Parts, reply.Caution{Text: t.mixed()})
	}
	switch {
	case t.from == t.to && t.found.Mixed:
		out.Title = t.Say("It mixes US and UK terms")
		return out
	case t.from == t.to:
		out.Title = t.Say("It is in %s terms already", t.to)
		return out
	}
	for _, p := range problems {
		if t.found.Mixed && p.Pos() == t.found.Evidence[0].Pos() { // told above
			continue
		}
		out.Parts = append(out.Parts, placed(t.Printer, t.text, p.Pos(), p.End(), asSentence(t.Say(words.Key(p.Message))))...)
	}
	lines := strings.Split(strings.TrimRight(text, "\n\r\t "), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], "\r")
	}
	out.Parts = append(out.Parts, shownRows(t.Printer, "", lines, fileName(t.name, strings.ToLower(t.to.String())), text)...)
	out.Parts = append(out.Parts, reply.Tip{Text: t.Say("Only the words that differ were replaced: look once at names of yarns and places that hold such a word.")})
	return out
}

// readAs says which terms the text is in and which words tell.
func (t translation) readAs() string {
	var only, some []string
	for _, e := range t.found.Evidence {
		switch {
		case e.Terms != t.from || len(some) == 5:
		case e.Strong:
			only = append(only, t.Say("“%s”", e.Word))
			fallthrough
		default:
			some = append(some, t.Say("“%s”", e.Word))
		}
	}
	switch {
	case t.said:
		return t.Say("Read in %s terms, as you say.", t.from)
	case t.found.Mixed:
		return t.Say("Read in %s terms, though it holds words of both. If that is wrong, say terms:US or terms:UK.", t.from)
	case len(some) == 0:
		return t.Say("Nothing in the text tells its terms; I took %s. If that is wrong, say terms:US or terms:UK.", t.from)
	case t.found.Certain && len(only) > 0:
		return t.Say("The text is in %s terms: only they say %s.", t.from, strings.Join(only, ", "))
	case t.found.Certain:
		return t.Say("The text is in %s terms: see %s.", t.from, strings.Join(some, ", "))
	}
	return t.Say("The text seems to be in %s terms (%s), though nothing proves it. If that is wrong, say terms:US or terms:UK.", t.from, strings.Join(some, ", "))
}

// mixed names words of both terms.
func (t translation) mixed() string {
	both := map[notation.Terms][]string{}
	for _, e := range t.found.Evidence {
		if e.Strong && len(both[e.Terms]) < 3 {
			both[e.Terms] = append(both[e.Terms], t.Say("“%s” in line %d", e.Word, e.From.Line))
		}
	}
	return t.Say("The text mixes terms: %s are US, %s are UK. I read “dc” and “tr” in %s terms; ask its writer which are meant.",
		strings.Join(both[notation.US], ", "), strings.Join(both[notation.UK], ", "), t.from)
}

// mostRows is how many characters of rows an answer shows before it attaches
// them instead.
const mostRows = 1200

// shownRows shows rows in the answer where they are short; else their
// beginning, and the whole as a file.
func shownRows(p words.Printer, title string, lines []string, name, whole string) []reply.Block {
	parts := rowsInEnglish(p)
	size := 0
	for i, l := range lines {
		if size += len(l) + 1; size > mostRows {
			shown := lines[:max(1, i/2)]
			if len(shown[0]) > mostRows {
				shown = []string{clip(shown[0], mostRows) + "…"}
			}
			return append(parts,
				reply.Rows{Title: title, Lines: shown},
				reply.Text{Text: p.Say("These are the first %d of %d lines; all of them are in the attached %s.", len(shown), len(lines), name)},
				reply.File{Name: name, Type: "text/plain", Body: []byte(whole)})
		}
	}
	return append(parts, reply.Rows{Title: title, Lines: lines})
}

// fileName is a plain name for a file made from a text.
func fileName(of, tail string) string {
	of = strings.TrimSuffix(of, path.Ext(of))
	var b strings.Builder
	for _, r := range strings.ToLower(of) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	name := strings.Trim(b.String(), "-")
	if name == "" {
		name = "pattern"
	}
	if tail != "" {
		name += "-" + tail
	}
	return clip(name, 60) + ".txt"
}
