package regauge

import (
	"strings"

	"countwright/calc/notation"
)

// changesColour says whether the colour changes with stitches before and after
// it in the row, as it does in a picture of several colours.
func changesColour(steps []notation.Step) bool {
	before, changed := false, false
	for _, s := range steps {
		switch s := s.(type) {
		case *notation.Stitches, *notation.Group:
			if changed {
				return true
			}
			before = true
		case *notation.Remark:
			low := strings.ToLower(s.Text)
			named := strings.HasPrefix(low, "with ") || strings.Contains(low, "colour") || strings.Contains(low, "color") ||
				strings.HasPrefix(low, "change to") || strings.HasPrefix(low, "switch to")
			changed = changed || before && named
		case *notation.Attach:
			changed = changed || before && s.Colour != ""
		}
	}
	return false
}
