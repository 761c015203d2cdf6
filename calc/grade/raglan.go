package grade

import (
	"fmt"
	"math"
	"slices"

	"countwright/calc/gauge"
	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/spacing"
)

// panels is the counts of a raglan yoke: of one body and one sleeve panel.
type panels struct{ body, sleeve panel }

// panel is the stitches of a panel in the first and the last round, and by how
// many each of its edges grows.
type panel struct{ start, end, grown int }

// raglan lays down what a yoke needs, or a section that goes on from one.
func (pl *plan) raglan(s, below *slot) error {
	switch {
	case s.Shape == pattern.Raglan:
		return pl.yoke(s)
	case s.Underarm.Said():
		return pl.underarm(s, below)
	}
	return nil
}

// yoke lays down four panels, front and back alike and both sleeves, so that
// body, sleeves and depth all arrive.
func (pl *plan) yoke(s *slot) error {
	body, err := pl.panel(s, "body", s.Panels.BodyStart, s.Panels.BodyEnd)
	if err != nil {
		return err
	}
	sleeve, err := pl.panel(s, "sleeve", s.Panels.SleeveStart, s.Panels.SleeveEnd)
	if err != nil {
		return err
	}
	s.panels = &panels{body, sleeve}
	pl.rule(s.name()+": four panels make the first round", 0, Term{s.start, 1}, Term{body.start, -2}, Term{sleeve.start, -2})
	pl.rule(s.name()+": four panels make the last round", 0, Term{s.end, 1}, Term{body.end, -2}, Term{sleeve.end, -2})
	pl.rests[s.piece.Name+"."+pattern.SleevePanel] = sleeve.end
	return nil
}

// panel lays down the counts of one panel: it grows as much at both edges, by
// no more in a round than its depth asks for.
func (pl *plan) panel(s *slot, name string, from, to pattern.Formula) (panel, error) {
	start, err := pl.length(s.name(), from)
	if err != nil {
		return panel{}, err
	}
	end, err := pl.length(s.name(), to)
	if err != nil {
		return panel{}, err
	}
	need := (end - start) / 2 / s.w
	each := max(int(math.Ceil((need+0.5)/max(math.Floor(pl.Counts[s.rows].Target)-1, 1))), 1)
	p := panel{
		start: pl.add(s.name()+": stitches of a "+name+" panel", start, s.w, 3, gauge.Multiple{}),
		end:   pl.add(s.name()+": stitches of a "+name+" panel at the end", end, s.w, 3, gauge.Multiple{}),
		grown: pl.add(s.name()+": a "+name+" panel grows at each edge", math.NaN(), 2*s.w, 0, gauge.Multiple{}),
	}
	pl.rule(s.name()+": a "+name+" panel grows as much at both edges", 0, Term{p.end, 1}, Term{p.start, -1}, Term{p.grown, -2})
	pl.atMost(s.name()+": the rounds are enough for a "+name+" panel", -each, Term{p.grown, 1}, Term{s.rows, -each})
	return p, nil
}

// underarm lays down that a section goes on over the body panels and the
// stitches added under both arms.
func (pl *plan) underarm(s *slot, yoke *slot) error {
	width, err := pl.length(s.name(), s.Underarm)
	if err != nil {
		return err
	}
	half := pl.add(s.name()+": stitches under half an arm", width/2, s.w, 1, gauge.Multiple{})
	pl.rests[s.piece.Name+"."+pattern.HalfUnderarm] = half
	pl.rule(s.name()+": the body panels and both underarms", 0, Term{s.start, 1}, Term{yoke.panels.body.end, -2}, Term{half, -4})
	return nil
}

// growth is the increases at one edge of a panel, laid out over the rounds
// after the first.
func (w *writer) growth(s *slot, p panel) (spacing.Sloped, error) {
	slope := spacing.Slope{Stitches: w.value[p.grown], Rows: w.value[s.rows], PlainFirst: 1}
	if slope.Stitches == 0 {
		return spacing.Sloped{Slope: slope}, nil
	}
	return slope.Grouped()
}

// grows is by how much each edge of a panel grows in each round.
func (w *writer) grows(s *slot, p panel) ([]int, error) {
	each := make([]int, w.value[s.rows])
	shaped, err := w.growth(s, p)
	if err != nil {
		return nil, err
	}
	for _, r := range shaped.Shaping {
		each[r.Row-1] = r.Each
	}
	return each, nil
}

// yokeRounds is the rounds of a raglan.
func (w *writer) yokeRounds(s *slot, first int) ([]made, error) {
	body, err := w.grows(s, s.panels.body)
	if err != nil {
		return nil, err
	}
	sleeve, err := w.grows(s, s.panels.sleeve)
	if err != nil {
		return nil, err
	}
	m := s.maker()
	b, l := w.value[s.panels.body.start], w.value[s.panels.sleeve.start]
	var out []made
	for i := range body {
		r := made{number: first + i, round: true, form: "round"}
		switch {
		case i == 0:
			r.steps, r.form = w.firstRound(s, w.value[s.start]), "first"
		case body[i]+sleeve[i] == 0:
			r.steps = append([]notation.Step{m.chain()}, m.across(0)...)
		default:
			r.form = fmt.Sprint("raglan ", b, " ", l, " ", body[i], " ", sleeve[i])
			r.steps = append([]notation.Step{m.chain()}, m.raglanRound(b, l, body[i], sleeve[i])...)
		}
		b, l = b+2*body[i], l+2*sleeve[i]
		r.steps = append(r.steps, join())
		r.count = 2*b + 2*l
		out = append(out, r)
	}
	return out, nil
}

// raglanRound works body and sleeve panel twice, growing at their edges.
func (m maker) raglanRound(body, sleeve, growBody, growSleeve int) []notation.Step {
	var once []notation.Step
	edge := func(grow int) {
		if grow > 0 {
			once = append(once, m.work(grow+1, 1))
		}
	}
	panel := func(n, grow int) {
		edge(grow)
		if grow > 0 {
			n -= 2
		}
		if n > 0 {
			once = append(once, m.work(1, n))
		}
		edge(grow)
	}
	panel(body, growBody)
	panel(sleeve, growSleeve)
	return repeated(joinAlike(once), 2)
}

// joinAlike puts steps together that follow each other and are alike: two
// stitches in each of the next two.
func joinAlike(steps []notation.Step) []notation.Step {
	var out []notation.Step
	for _, s := range steps {
		st := s.(*notation.Stitches)
		if n := len(out); n > 0 {
			before := out[n-1].(*notation.Stitches)
			if count(before.Each) == count(st.Each) {
				both := *before
				both.Into.Many = number(count(before.Into.Many) + count(st.Into.Many))
				out[n-1] = &both
				continue
			}
		}
		out = append(out, s)
	}
	return out
}

// overBody is the round that leaves the sleeves out and chains under the arms,
// or the next one, which works into those chains.
func (m maker) overBody(body, sleeve, under int, closing bool) []notation.Step {
	var once []notation.Step
	once = append(once, m.work(1, body))
	if closing {
		once = append(once, &notation.Stitches{Name: m.id, Into: notation.Place{Many: number(under), What: notation.ChainStitch}})
	} else {
		once = append(once, &notation.Chain{Many: notation.N(under)}, &notation.Skip{Many: number(sleeve)})
	}
	return append([]notation.Step{m.chain()}, append(repeated(once, 2), join())...)
}

// parted puts the first two rounds of a body below a yoke.
func (w *writer) parted(s *slot, yoke *slot, rounds []made) {
	m := s.maker()
	body, sleeve := w.value[yoke.panels.body.end], w.value[yoke.panels.sleeve.end]
	under := w.addedUnder(s)
	rounds[0].steps = m.overBody(body, sleeve, under, false)
	rounds[0].form, rounds[0].count, rounds[0].holes, rounds[0].hole = "parted", 2*body, 2, under
	rounds[1].steps = m.overBody(body, sleeve, under, true)
	rounds[1].form = "over the underarms"
}

// leftByYoke names what a raglan leaves for its sleeves.
func (pl *plan) leftByYoke(piece, name string) (string, bool) {
	p, ok := pl.pattern.Piece(piece)
	if !ok || !slices.ContainsFunc(p.Sections, func(s pattern.Section) bool { return s.Shape == pattern.Raglan }) {
		return "", false
	}
	switch name {
	case pattern.HalfUnderarm:
		return "Half of the underarm", true
	case pattern.SleevePanel:
		return "The sleeve stitches of the yoke", true
	}
	return "", false
}

// tellRounds sums up what is shaped at edges in rounds, and what a raglan has.
func (w *writer) tellRounds(s *slot, t *Section) error {
	if s.Underarm.Said() {
		t.Underarm = w.addedUnder(s)
	}
	if s.Shape == pattern.BothEdges {
		shaped, err := w.sloped(s, 1, entrance{})
		t.Every, t.Rest = shaped.Groups(), shaped.Rest()
		return err
	}
	if s.Shape != pattern.Raglan {
		return nil
	}
	of := func(p panel) (Panel, error) {
		shaped, err := w.growth(s, p)
		return Panel{w.value[p.start], w.value[p.end], shaped.Groups(), shaped.Rest()}, err
	}
	body, err := of(s.panels.body)
	if err != nil {
		return err
	}
	sleeve, err := of(s.panels.sleeve)
	t.Panels = &Panels{body, sleeve}
	return err
}

// addedUnder is the stitches that a section adds under each arm.
func (pl *plan) addedUnder(s *slot) int {
	return 2 * pl.value[pl.rests[s.piece.Name+"."+pattern.HalfUnderarm]]
}
