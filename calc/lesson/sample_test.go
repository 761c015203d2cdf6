package lesson_test

import (
	"testing"

	"countwright/calc/fabric"
	"countwright/calc/lesson"
	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// The rows of every sample can be worked and make what they say.
func TestSamplesWork(t *testing.T) {
	samples := 0
	for _, l := range lesson.All(stitch.US) {
		if l.Sample == "" {
			continue
		}
		samples++
		result := fabric.Work(notation.Parse(l.Sample, notation.Options{Terms: notation.US}), fabric.Options{})
		if !result.OK() || len(result.Pieces) != 1 {
			t.Errorf("%s: %d pieces, %+v", l.Stitch, len(result.Pieces), result.Findings)
			continue
		}
		claims := 0
		for _, row := range result.Pieces[0].Rows {
			if row.PerSize[0].Claimed {
				claims++
			}
		}
		if claims == 0 {
			t.Errorf("%s: no row states its count", l.Stitch)
		}
	}
	if samples < 10 {
		t.Errorf("%d samples", samples)
	}
}
