package regauge

import (
	"regexp"
	"strconv"
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/measure"
)

// Patterns state a gauge in a sentence like "Gauge: 16 sts and 18 rnds = 10 cm
// (4 in) in sc" or "Tension: 14 stitches x 10 rows to 4 inches".
var (
	statedCounts = regexp.MustCompile(`(?i)(\d+(?:[.,]\d+)?)\s*(?:[a-z]{1,4}\s+)?(?:sts?\b|stitches)\D{0,25}?(\d+(?:[.,]\d+)?)\s*(?:rows?\b|rnds?\b|rounds?\b)`)
	statedOver   = regexp.MustCompile(`(?i)(\d+(?:[.,]\d+)?)\s*(?:x\s*\d+(?:[.,]\d+)?\s*)?(cm\b|mm\b|in\b|ins\b|inch\b|inches\b|"|”|″)`)
)

// Stated finds the gauge that a text states for itself; false where it states
// none that can be read.
func Stated(text string) (gauge.Gauge, bool) {
	for line := range strings.SplitSeq(text, "\n") {
		low := strings.ToLower(line)
		if !strings.Contains(low, "gauge") && !strings.Contains(low, "tension") {
			continue
		}
		counts := statedCounts.FindStringSubmatch(line)
		over := statedOver.FindStringSubmatch(line)
		if counts == nil || over == nil {
			continue
		}
		unit := measure.Centimetre
		switch strings.ToLower(over[2]) {
		case "cm":
		case "mm":
			unit = measure.Millimetre
		default:
			unit = measure.Inch
		}
		g, err := gauge.Per(decimal(counts[1]), decimal(counts[2]), unit.Scale(decimal(over[1])))
		if err == nil {
			return g, true
		}
	}
	return gauge.Gauge{}, false
}

func decimal(s string) float64 {
	v, _ := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64) // the pattern matched a number
	return v
}
