package commands

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// tester is one tester's size: what she measured and what the pattern says.
type tester struct {
	part     Participant
	claim    claims
	stitches int             // of her project; 0: not known
	project  map[string]bool // what is known from her project and not said by her
}

// testerOf gathers what a tester said, and where she said nothing, what her
// project knows.
func testerOf(p Participant, w *work, c claims) tester {
	t := tester{part: p, claim: c, project: map[string]bool{}}
	if w == nil {
		return t
	}
	t.stitches = w.tally.All
	t.part.Measured = map[string]float64{}
	for name, v := range p.Measured {
		t.part.Measured[name] = v
	}
	known := func(name string, v float64) {
		if _, said := p.Measured[name]; !said && v > 0 {
			t.part.Measured[name], t.project[name] = v, true
		}
	}
	if done := w.State == Finished || w.tally.Rows == w.tally.AllRows; done {
		known(measuredMinutes, float64(w.tally.Minutes))
		if y := w.yarnLeft(); y.known {
			known(measuredGrams, y.used)
		}
	}
	return t
}

// gauge is the tester's own; nil: she told none.
func (t tester) gauge() *measuredGauge {
	m := t.part.Measured
	if m[measuredStitches] == 0 || m[measuredRows] == 0 {
		return nil
	}
	g := &measuredGauge{Gauge: gauge.Gauge{Stitches: m[measuredStitches], Rows: m[measuredRows]}, wide: usualSpan, tall: usualSpan}
	if m[measuredWide] > 0 {
		g.wide, g.tall = m[measuredWide], m[measuredTall]
	}
	return g
}

// findings are her figures beside the pattern's, in the pattern's order.
func (t tester) findings() []testFigure {
	var out []testFigure
	mine := t.gauge()
	if mine != nil && t.claim.gauge.Stitches > 0 {
		theirs, own := doubtOver(t.claim.gauge, usualSpan, usualSpan), mine.doubt()
		out = append(out,
			judgeGauge("gauge, stitches", "stitches", t.claim.gauge.Stitches, mine.Stitches, theirs.Stitches, own.Stitches),
			judgeGauge("gauge, rows", "rows", t.claim.gauge.Rows, mine.Rows, theirs.Rows, own.Rows))
	}
	taken := map[string]bool{}
	for _, f := range t.claim.finished {
		if got, ok := t.part.Measured[measuredSize+f.Name]; ok {
			out = append(out, judge(f, got, t.claim, mine))
			taken[measuredSize+f.Name] = true
		}
	}
	var others []string
	for name := range t.part.Measured {
		if strings.HasPrefix(name, measuredSize) && !taken[name] {
			others = append(others, name)
		}
	}
	slices.Sort(others)
	for _, name := range others {
		out = append(out, testFigure{what: strings.TrimPrefix(name, measuredSize), unit: "mm", got: t.part.Measured[name], verdict: unclaimed})
	}
	if got, ok := t.part.Measured[measuredGrams]; ok {
		out = append(out, judgeYarn(t.claim, got))
	}
	if got, ok := t.part.Measured[measuredMinutes]; ok {
		out = append(out, testFigure{what: "time", unit: "min", got: got, verdict: unclaimed})
	}
	return out
}

// open is what she has not told yet.
func (t tester) open() []string {
	var out []string
	if t.gauge() == nil {
		out = append(out, "gauge")
	}
	for _, f := range t.claim.finished {
		if _, ok := t.part.Measured[measuredSize+f.Name]; !ok {
			out = append(out, f.Name)
		}
	}
	for _, name := range []struct{ key, said string }{{measuredGrams, "yarn"}, {measuredMinutes, "time"}} {
		if _, ok := t.part.Measured[name.key]; !ok {
			out = append(out, name.said)
		}
	}
	return out
}

// shownAs is a figure as people read it.
func (f testFigure) shownAs(v float64, u measure.Unit) string {
	switch f.unit {
	case "mm":
		return measure.FromMM(v).Text(u)
	case "g":
		return fmt.Sprintf("%.0f g", v)
	case "min":
		return minutesOf(v)
	}
	return strconv.FormatFloat(round2(v), 'f', -1, 64)
}

// off is the difference to the claim, as people read it.
func (f testFigure) off(u measure.Unit) string {
	if f.claimed == 0 {
		return ""
	}
	switch d := f.got - f.claimed; f.unit {
	case "mm":
		return (asShown(measure.FromMM(f.got), u) - asShown(measure.FromMM(f.claimed), u)).Signed(u)
	case "g":
		return fmt.Sprintf("%+.0f g", d)
	default:
		return fmt.Sprintf("%+.1f", d)
	}
}

// line is a figure in a sentence.
func (f testFigure) line(p words.Printer, u measure.Unit) string {
	line := p.Say("%s: measured %s, the pattern says %s (%s; up to %s is explained)", words.Key(f.what), f.shownAs(f.got, u), f.shownAs(f.claimed, u), f.off(u), f.shownAs(f.allowed, u))
	if f.expected > 0 {
		line += ". " + p.Say("At her gauge these counts come to %s", f.shownAs(f.expected, u))
	}
	return line
}

// verdictWords say what a difference means: to hosts, and to the tester herself.
var (
	verdictWords    = map[testVerdict]words.Key{agrees: "agrees", byGauge: "her gauge explains it", odd: "agrees, but not with her gauge", differs: "differs"}
	verdictsToldHer = map[testVerdict]words.Key{agrees: "agrees", byGauge: "your gauge explains it", odd: "agrees, but not with your gauge", differs: "differs"}
)

// testerTable sets figures beside the pattern's, for hosts or for the tester
// herself.
func testerTable(r Request, title string, found []testFigure, own bool) reply.Table {
	u := r.Settings.Units
	t := reply.Table{Title: title, Head: r.Each("", "pattern", "measured", "off", ""), Right: []bool{false, true, true, true, false}}
	for _, f := range found {
		claimed := ""
		if f.claimed > 0 {
			claimed = f.shownAs(f.claimed, u)
		}
		mark := verdictWords[f.verdict] // none where nothing is claimed
		if own {
			mark = verdictsToldHer[f.verdict]
		}
		t.Rows = append(t.Rows, []string{r.Say(words.Key(f.what)), claimed, f.shownAs(f.got, u), f.off(u), r.Say(mark)})
	}
	return t
}

// The machine-readable answer of /makealong measured, and of each tester in
// /makealong testers. Keys may be added, never renamed.
type (
	testerData struct {
		Size     string          `json:"size"`
		Named    string          `json:"named,omitempty"`
		Findings []testerFinding `json:"findings"`
		Open     []string        `json:"open"`
		Remarks  string          `json:"remarks,omitempty"`
	}
	testerFinding struct {
		What     string  `json:"what"`
		Unit     string  `json:"unit"`
		Pattern  float64 `json:"pattern"`
		Measured float64 `json:"measured"`
		Allowed  float64 `json:"allowed"`
		AtOwn    float64 `json:"at_own_gauge"`
		Verdict  string  `json:"verdict"`
		Project  bool    `json:"from_project"`
	}
)

func (t tester) data() testerData {
	d := testerData{Size: t.part.Seat, Named: t.part.Name, Findings: []testerFinding{}, Open: append([]string{}, t.open()...), Remarks: t.part.Remarks}
	for _, f := range t.findings() {
		key := map[string]string{"g": measuredGrams, "min": measuredMinutes}[f.unit]
		d.Findings = append(d.Findings, testerFinding{f.what, f.unit, round2(f.claimed), round2(f.got), round2(f.allowed), round2(f.expected), string(f.verdict), t.project[key]})
	}
	return d
}
