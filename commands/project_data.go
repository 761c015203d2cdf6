package commands

import (
	"math"
	"time"
)

// The machine-readable answer of /project. Keys may be added, never renamed.
type (
	projectData struct {
		Project  int64            `json:"project"`
		Name     string           `json:"name"`
		State    string           `json:"state"`
		Piece    string           `json:"piece"`
		Row      string           `json:"row"` // to work now; empty: all are done
		Text     string           `json:"text"`
		Count    int              `json:"count"` // stitches to have at its end
		Done     int              `json:"done"`  // rows done of the piece
		Rows     int              `json:"rows"`
		Stitches int              `json:"stitches"` // done of the whole
		All      int              `json:"all"`
		Pieces   []projectPiece   `json:"pieces"`
		Minutes  int              `json:"minutes"`
		Pace     *projectForecast `json:"pace"` // null: too little to tell from
		Yarn     *projectYarn     `json:"yarn"` // null: nothing is known
	}
	projectPiece struct {
		Name string `json:"name"`
		Done int    `json:"done"`
		Rows int    `json:"rows"`
	}
	projectForecast struct {
		StitchesADay float64 `json:"stitches_a_day"`
		Earliest     string  `json:"earliest"` // dates, were the work taken up today
		Latest       string  `json:"latest"`
		Days         int     `json:"days_worked"`
		Pauses       int     `json:"pauses"`
	}
	projectYarn struct {
		Left  float64 `json:"left_g"`
		Need  float64 `json:"need_g"`
		Doubt float64 `json:"doubt"`
		Own   bool    `json:"own"`
	}
)

func (w *work) data(_ Request, at int) projectData {
	p, t := w.pieces[at], w.tally
	d := projectData{Project: w.ID, Name: w.Name, State: string(w.State), Piece: p.Title(), Done: t.Done[at], Rows: len(p.Rows),
		Stitches: t.Stitches, All: t.All, Minutes: t.Minutes}
	if row := t.Done[at]; row < len(p.Rows) {
		d.Row, d.Text, d.Count = p.Rows[row].Label, p.Text(row), p.Rows[row].Count
	}
	for i, p := range w.pieces {
		d.Pieces = append(d.Pieces, projectPiece{p.Title(), t.Done[i], len(p.Rows)})
	}
	if f, err := w.ahead(); err == nil {
		date := func(days int) string { return time.Unix(int64(w.today+days)*86400, 0).UTC().Format(time.DateOnly) }
		d.Pace = &projectForecast{round2(f.Pace), date(f.Early), date(f.Late), f.Worked, f.Pauses}
	}
	if y := w.yarnLeft(); y.known || y.need > 0 {
		d.Yarn = &projectYarn{math.Round(y.left), math.Round(y.need), round2(y.doubt), y.own}
	}
	return d
}
