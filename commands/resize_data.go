package commands

import (
	"math"

	"countwright/calc/yarn"
	"countwright/commands/words"
)

// The machine-readable answer of /resize. Keys may be added, never renamed.
// Stitches are named in US terms.
type (
	resizeData struct {
		Pattern  string              `json:"pattern"`
		Size     string              `json:"size"`
		Gauge    gaugeData           `json:"gauge"`
		EaseMM   float64             `json:"ease_mm"`
		Pieces   []resizePiece       `json:"pieces"`
		Joins    []resizeJoin        `json:"joins"`
		Meets    []resizeMeet        `json:"meets"`
		Finished []resizeFinished    `json:"finished"`
		Yarn     resizeYarn          `json:"yarn"`
		BodyMM   map[string]int      `json:"body_mm"`
		Assumed  []string            `json:"assumed"`
		Buttons  int                 `json:"buttons"`
		Forced   map[string][]string `json:"forced"`
	}
	gaugeData struct {
		Stitches float64 `json:"stitches"`
		Rows     float64 `json:"rows"`
		Own      bool    `json:"pattern_own"` // no gauge was given: the pattern's
	}
	resizePiece struct {
		Name     string          `json:"name"`
		Make     int             `json:"make"`
		Sections []resizeSection `json:"sections"`
		Rows     []resizeRow     `json:"rows"`
	}
	resizeSection struct {
		Name   string `json:"name"`
		Stitch string `json:"stitch"`
		Start  int    `json:"start"`
		End    int    `json:"end"`
		Rows   int    `json:"rows"`
	}
	resizeRow struct {
		Label string `json:"label"`
		Count int    `json:"count"`
	}
	resizeJoin struct {
		Name   string `json:"name"`
		A      string `json:"a"`
		B      string `json:"b"`
		ACount int    `json:"a_count"`
		BCount int    `json:"b_count"`
	}
	resizeMeet struct {
		Name string  `json:"name"`
		A    string  `json:"a"`
		B    string  `json:"b"`
		AMM  float64 `json:"a_mm"`
		BMM  float64 `json:"b_mm"`
	}
	resizeFinished struct {
		Name     string  `json:"name"`
		MM       float64 `json:"mm"`
		TargetMM float64 `json:"target_mm"`
	}
	resizeYarn struct {
		Metres float64 `json:"metres"`
		Grams  float64 `json:"grams"`
		Balls  int     `json:"balls"`
		Doubt  float64 `json:"doubt"`
	}
)

func (a *resized) data(n yarn.Amount) resizeData {
	g := a.garment
	d := resizeData{Pattern: g.Pattern.Name, Size: a.forWhom(words.Printer{}), Gauge: gaugeData{round2(g.Order.Gauge.Stitches), round2(g.Order.Gauge.Rows), a.base},
		EaseMM: tenth(g.Ease), Pieces: []resizePiece{}, Joins: []resizeJoin{}, Meets: []resizeMeet{}, Finished: []resizeFinished{},
		Yarn: resizeYarn{math.Round(n.Metres), math.Round(n.Grams), n.Balls, round2(n.Doubt)}, BodyMM: map[string]int{}, Assumed: []string{}, Forced: map[string][]string{}}
	for m, l := range g.Order.Body {
		d.BodyMM[string(m)] = int(math.Round(l.MM()))
	}
	for _, m := range a.who.assumed {
		d.Assumed = append(d.Assumed, string(m))
	}
	if g.Buttons != nil {
		d.Buttons = g.Buttons.Number
	}
	for _, p := range g.Pieces {
		piece := resizePiece{Name: p.Name, Make: p.Make, Sections: []resizeSection{}, Rows: []resizeRow{}}
		for _, s := range p.Sections {
			piece.Sections = append(piece.Sections, resizeSection{s.Name, string(s.Stitch), s.Start, s.End, s.Rows})
		}
		for _, r := range p.Rows {
			piece.Rows = append(piece.Rows, resizeRow{r.Label, r.Count})
		}
		d.Pieces = append(d.Pieces, piece)
	}
	for _, j := range g.Joins {
		d.Joins = append(d.Joins, resizeJoin{j.Name, j.A, j.B, j.ACount, j.BCount})
	}
	for _, m := range g.Meets {
		d.Meets = append(d.Meets, resizeMeet{m.Name, m.A, m.B, tenth(m.AMM), tenth(m.BMM)})
	}
	for _, f := range g.Finished {
		d.Finished = append(d.Finished, resizeFinished{f.Name, tenth(f.MM), tenth(f.Target)})
		if f.Off() {
			d.Forced[f.Name] = f.Forced
		}
	}
	return d
}

// tenth rounds to a tenth of a millimetre.
func tenth(v float64) float64 { return math.Round(v*10) / 10 }
