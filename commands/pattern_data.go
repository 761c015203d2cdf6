package commands

import (
	worked "countwright/calc/fabric"
	"countwright/commands/words"
)

// The machine-readable answer of /pattern check. Keys may be added, never
// renamed. Stitches are named in US terms.
type (
	checkData struct {
		Terms       string        `json:"terms"`
		Sizes       []string      `json:"sizes"`
		Pieces      []pieceData   `json:"pieces"`
		Findings    []findingData `json:"findings"`
		Assumptions []string      `json:"assumptions"`
	}
	pieceData struct {
		Name string    `json:"name"`
		Rows []rowData `json:"rows"`
	}
	rowData struct {
		Label string       `json:"label"`
		Sizes []*countData `json:"sizes"` // one a size; null where the size does not work the row
		OK    bool         `json:"ok"`
	}
	countData struct {
		Count int            `json:"count"` // as the pattern would state it
		Claim *int           `json:"claim"` // null: the text states none
		By    map[string]int `json:"by"`
		Left  int            `json:"left"`
	}
	findingData struct {
		Label   string `json:"label"`
		Kind    string `json:"kind"`
		Message string `json:"message"`
		Fix     string `json:"fix,omitempty"`
		Line    int    `json:"line"`
		Column  int    `json:"column"`
	}
)

func (c *checked) data() checkData {
	d := checkData{Terms: c.doc.Terms.String(), Sizes: c.result.Sizes, Pieces: []pieceData{}, Findings: []findingData{}, Assumptions: c.assumptions(words.Printer{})}
	for _, p := range c.result.Pieces {
		piece := pieceData{Name: p.Name, Rows: []rowData{}}
		for i := range p.Rows {
			if row := &p.Rows[i]; isRow(row) {
				piece.Rows = append(piece.Rows, dataOf(row))
			}
		}
		d.Pieces = append(d.Pieces, piece)
	}
	for _, f := range c.result.Findings {
		d.Findings = append(d.Findings, findingData{f.Label, f.Kind, f.Message, f.Fix, f.Pos.Line, f.Pos.Column})
	}
	return d
}

func dataOf(row *worked.Row) rowData {
	d := rowData{Label: row.Label, OK: row.OK}
	for _, n := range row.PerSize {
		if n == nil {
			d.Sizes = append(d.Sizes, nil)
			continue
		}
		c := &countData{Count: n.Stitches, Left: n.Left, By: map[string]int{}}
		for _, t := range n.By {
			c.By[string(t.ID)] += t.N
		}
		if n.Claimed {
			claim := n.Claim
			c.Claim = &claim
		}
		d.Sizes = append(d.Sizes, c)
	}
	return d
}
