package commands

import (
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"countwright/calc/measure"
	"countwright/commands/reply"
	"countwright/commands/words"
)

func makealongTesters(s Services) *Command {
	named := makealongOption(s)
	return &Command{
		Name: "testers", Short: "For hosts: what each tester measured, against what the pattern says", For: Hosts, Private: true, Slow: true,
		Want: "see whether a pattern holds in every size", From: "host",
		Long: "Differences are named where rounding to whole stitches and rows, the tape and the doubt of the gauge don't explain them; " +
			"where the tester's own gauge does, it says so. Everything is in the attached table too.",
		Options:  []Option{named},
		Examples: []string{"/makealong testers makealong:Harbour test"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			m, err := openAlong(ctx, s, r, named)
			if err != nil {
				return reply.Reply{}, err
			}
			if !m.Course.Tester {
				return reply.Reply{}, Refused("%s is no call for testers: nothing is measured in it.", m.Name)
			}
			list, err := testers(ctx, s, r, m)
			if err != nil {
				return reply.Reply{}, err
			}
			return testersReply(r, m, list)
		},
	}
}

// testers gathers those of a tester call, in the order of its sizes.
func testers(ctx context.Context, s Services, r Request, m MakeAlong) ([]tester, error) {
	all, err := s.MakeAlongs.Party(ctx, m.ID)
	if err != nil {
		return nil, fmt.Errorf("list who takes part: %w", err)
	}
	place := func(p Participant) int {
		at := slices.IndexFunc(m.Course.Sizes, func(size string) bool { return strings.EqualFold(size, p.Seat) })
		if at < 0 {
			return len(m.Course.Sizes)
		}
		return at
	}
	slices.SortStableFunc(all, func(a, b Participant) int { return place(a) - place(b) })
	var out []tester
	for _, p := range all {
		c, err := claimsOf(ctx, s, r, m, p.Seat)
		if err != nil {
			return nil, err
		}
		var w *work
		if p.Project > 0 {
			own := r
			own.Member.ID = p.Member // her project, of which the figures alone are told
			if _, there, err := s.Projects.Open(ctx, p.Member, p.Project); err != nil {
				return nil, fmt.Errorf("open project: %w", err)
			} else if there {
				if w, err = openNumbered(ctx, s, own, p.Project); err != nil {
					return nil, err
				}
			}
		}
		out = append(out, testerOf(p, w, c))
	}
	return out, nil
}

// name is how a tester is told: by her size, and her name where she gave it.
func (t tester) name(p words.Printer) string {
	name := t.part.Seat
	if name == "" {
		name = p.Say("no size")
	}
	if t.part.Name != "" {
		name += " (" + t.part.Name + ")"
	}
	return name
}

func testersReply(r Request, m MakeAlong, list []tester) (reply.Reply, error) {
	out := reply.Reply{Title: r.Say("What the testers of %s measured", m.Name), Private: true}
	told := 0
	var wrong, explained, asking, remarks []string
	data := []testerData{}
	for _, t := range list {
		found := t.findings()
		if len(found) > 0 {
			told++
		}
		for _, f := range found {
			line := t.name(r.Printer) + ", " + f.line(r.Printer, r.Settings.Units)
			switch f.verdict {
			case differs:
				wrong = append(wrong, line)
			case byGauge:
				explained = append(explained, line)
			case odd:
				asking = append(asking, line)
			}
		}
		if t.part.Remarks != "" {
			remarks = append(remarks, t.name(r.Printer)+": “"+t.part.Remarks+"”")
		}
		data = append(data, t.data())
	}
	out.Data = data
	out.Parts = append(out.Parts, reply.Text{Text: testersLead(r.Printer, m, list, told)})
	for _, l := range []reply.List{{Title: r.Say("Beyond what rounding and measuring explain"), Items: wrong}, {Title: r.Say("Explained by the tester's own gauge"), Items: explained},
		{Title: r.Say("As the pattern says, but not as her own gauge would have it: worth asking"), Items: asking}} {
		if len(l.Items) > 0 {
			out.Parts = append(out.Parts, l)
		}
	}
	if told > 0 && len(wrong) == 0 {
		out.Parts = append(out.Parts, reply.Text{Text: r.Say("Nothing differs beyond what rounding, measuring and the testers' own gauge explain.")})
	}
	for _, t := range list {
		if found := t.findings(); len(found) > 0 {
			out.Parts = append(out.Parts, testerTable(r, t.name(r.Printer), found, false))
		}
	}
	if items := paces(r.Printer, list); len(items) > 0 {
		out.Parts = append(out.Parts, reply.List{Title: r.Say("Stitches an hour"), Items: items})
	}
	if len(remarks) > 0 {
		out.Parts = append(out.Parts, reply.List{Title: r.Say("Remarks"), Items: remarks})
	}
	file, err := testersCSV(r, list)
	if err != nil {
		return reply.Reply{}, err
	}
	out.Parts = append(out.Parts, file)
	return out, nil
}

// testersLead says how many sizes have a tester and how many of them told.
func testersLead(p words.Printer, m MakeAlong, list []tester, told int) string {
	lead := []words.Message{words.Count(len(list), "%d tester.", "%d testers.")}
	if n := len(m.Course.Sizes); n > 0 {
		var party []Participant
		for _, t := range list {
			party = append(party, t.part)
		}
		free := freeSeats(m.Course.Sizes, party)
		lead[0] = words.Say("%d of %d sizes have a tester.", n-len(free), n)
		if len(free) > 0 {
			lead[0] = words.Say("%d of %d sizes have a tester; still free: %s.", n-len(free), n, listed(free, 20))
		}
	}
	return sentences(p, append(lead, words.Say("%d told figures so far.", told))...)
}

// rate is a tester's stitches an hour; 0: not known.
func (t tester) rate() float64 {
	minutes := t.part.Measured[measuredMinutes]
	if t.stitches == 0 || minutes < 1 {
		return 0
	}
	return float64(t.stitches) / minutes * 60
}

// farPace is how many times faster or slower than the middle of all a tester's
// time is pointed out: hands differ, but a slip of the pen is larger. Common
// practice, no source.
const farPace = 2.0

// paces are the testers' stitches an hour. A pattern says nothing of time, so
// they are seen beside each other.
func paces(p words.Printer, list []tester) []string {
	var rates []float64
	for _, t := range list {
		if rate := t.rate(); rate > 0 {
			rates = append(rates, rate)
		}
	}
	slices.Sort(rates)
	var items []string
	for _, t := range list {
		rate := t.rate()
		if rate == 0 {
			continue
		}
		item := p.Say("%s: about %s, %s stitches in %s", t.name(p), thousands(int(math.Round(rate))), thousands(t.stitches), minutesOf(t.part.Measured[measuredMinutes]))
		n := len(rates)
		if middle := (rates[(n-1)/2] + rates[n/2]) / 2; n > 2 && (rate > farPace*middle || rate < middle/farPace) {
			item += ". " + p.Say("The middle of all is about %s: worth asking how it was timed", thousands(int(math.Round(middle))))
		}
		items = append(items, item)
	}
	return items
}

// testersCSV is every figure as a table, lengths in the host's unit.
func testersCSV(r Request, list []tester) (reply.File, error) {
	var b strings.Builder
	w := csv.NewWriter(&b)
	records := [][]string{{"size", "tester", "what", "unit", "pattern", "measured", "difference", "explained", "at_own_gauge", "verdict"}}
	u := r.Settings.Units
	for _, t := range list {
		for _, f := range t.findings() {
			unit, scale := f.unit, 1.
			if f.unit == "mm" {
				unit, scale = u.String(), measure.FromMM(1).In(u)
			}
			cell := func(v float64, known bool) string {
				if !known {
					return ""
				}
				return strconv.FormatFloat(math.Round(v*scale*100)/100, 'f', -1, 64)
			}
			records = append(records, []string{plainCell(t.part.Seat), plainCell(t.part.Name), plainCell(f.what), unit, cell(f.claimed, f.claimed > 0), cell(f.got, true),
				cell(f.got-f.claimed, f.claimed > 0), cell(f.allowed, f.claimed > 0), cell(f.expected, f.expected > 0), string(f.verdict)})
		}
		if t.part.Remarks != "" {
			records = append(records, []string{plainCell(t.part.Seat), plainCell(t.part.Name), "remarks", "", "", plainCell(t.part.Remarks), "", "", "", ""})
		}
	}
	if err := w.WriteAll(records); err != nil {
		return reply.File{}, fmt.Errorf("write the testers' table: %w", err)
	}
	return reply.File{Name: "testers.csv", Type: "text/csv; charset=utf-8", Body: []byte(b.String())}, nil
}
