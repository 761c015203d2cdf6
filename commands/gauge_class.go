package commands

import (
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/stitch"
	"countwright/calc/yarn"
	"countwright/commands/words"
)

// weightClasses names the yarn weight classes whose published range a swatch
// falls in. The ranges are published for single crochet (UK double crochet),
// so of another stitch the answer is a guide only, and says so.
func weightClasses(r Request, sw gauge.Swatch, g gauge.Gauge) string {
	matches, err := yarn.ByGauge(g.Stitches)
	if err != nil || len(matches) == 0 {
		return r.Say("outside every published range")
	}
	var names []string
	off := false
	for _, m := range matches {
		names = append(names, r.Say("%s (%d: %s sts in 10 cm)", words.Key(m.Name), m.Number, spanWords(m.Crochet)))
		off = off || m.Off > 0
	}
	text := strings.Join(names, r.Say(" or "))
	if off {
		text = r.Say("between the published classes; nearest is %s", text)
	}
	if !isSingle(r, sw.Stitch) {
		text = r.Say("%s. The ranges are published for %s; for another stitch take this as a guide", text, stitchWord(r, "sc"))
	}
	return text
}

// isSingle says whether a stitch, as the member wrote it, is US single crochet.
func isSingle(r Request, written string) bool {
	for _, id := range stitch.Named(written, stitch.Dialect(r.Terms())) {
		return id == "sc"
	}
	return false
}
