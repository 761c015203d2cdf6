package spacing

import "fmt"

// LimitError says that a count lies outside its limits.
type LimitError struct {
	What      string // what is counted: "decreases"
	Value     int    // as given
	Low, High int    // the limits, both allowed
	Why       string // where the limit comes from; may be empty
}

func (e *LimitError) Error() string {
	text := fmt.Sprintf("%d %s: allowed are %d to %d", e.Value, e.What, e.Low, e.High)
	if e.High < e.Low {
		text = fmt.Sprintf("%d %s: none are possible", e.Value, e.What)
	} else if e.High == e.Low {
		text = fmt.Sprintf("%d %s: only %d is possible", e.Value, e.What, e.Low)
	}
	if e.Why != "" {
		text += ", for " + e.Why
	}
	return text
}

// limit is nil if the value lies from low to high.
func limit(what string, value, low, high int, why string) error {
	if value >= low && value <= high {
		return nil
	}
	return &LimitError{What: what, Value: value, Low: low, High: high, Why: why}
}

// OddError says that an odd count can't be shaped at both edges alike.
type OddError struct{ Stitches int }

func (e *OddError) Error() string {
	return fmt.Sprintf("%d stitches can't be shared by two edges: take %d or %d, or shape one edge",
		e.Stitches, e.Stitches-1, e.Stitches+1)
}

// FitError says that buttonholes don't fit on an edge.
type FitError struct {
	Buttons  int // asked for
	Most     int // the most that fit; may be 0
	Stitches int // of the edge
	Hole     int // width of one hole in stitches
	Margin   int // stitches kept at each end
}

func (e *FitError) Error() string {
	return fmt.Sprintf("%d buttonholes of %d stitches don't fit on %d stitches with %d at each end: at most %d fit",
		e.Buttons, e.Hole, e.Stitches, e.Margin, e.Most)
}
