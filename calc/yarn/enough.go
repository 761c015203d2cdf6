package yarn

import "math"

// Verdict is whether there is enough yarn.
type Verdict uint8

const (
	No    Verdict = iota // too little even if the estimate is as low as can be
	Tight                // it depends on the doubt
	Yes                  // enough even if the estimate is as high as can be
)

// Enough is how far the yarn at hand reaches.
type Enough struct {
	Verdict Verdict
	Have    float64 // in the unit of the need: grams or metres
	Need    float64
	Margin  float64 // Have less Need
	Rows    int     // whole rows that it surely reaches for, of those left
	StopAt  int     // rows after which to weigh what is left: half of Rows
}

// Reach says whether what is at hand is enough for what is left: need with its
// doubt, over so many rows of one width. Have and need are both grams or both
// metres. Errors are *RangeError.
func Reach(have, need, doubt float64, rows int) (Enough, error) {
	if err := check("at hand", have, 0, 1e6); err != nil {
		return Enough{}, err
	}
	if err := check("needed", need, 1e-9, 1e6); err != nil {
		return Enough{}, err
	}
	if err := check("as the doubt", doubt, 0, 1); err != nil {
		return Enough{}, err
	}
	if err := check("rows left", float64(rows), 1, 1e6); err != nil {
		return Enough{}, err
	}
	e := Enough{Have: have, Need: need, Margin: have - need}
	switch {
	case have >= need*(1+doubt)-1e-9:
		e.Verdict = Yes
	case have >= need*(1-doubt)-1e-9:
		e.Verdict = Tight
	}
	perRow := need * (1 + doubt) / float64(rows)
	e.Rows = min(int(math.Floor(have/perRow+1e-9)), rows)
	e.StopAt = e.Rows / 2
	return e, nil
}
