package notation

import (
	"countwright/calc/stitch"
	"fmt"
	"testing"
)

func TestZZList(t *testing.T) {
	for _, s := range stitch.All() {
		if s.Kind == stitch.Basic || s.Kind == stitch.Post || s.Kind == stitch.Extended || s.Kind == stitch.Foundation {
			continue
		}
		fmt.Println(s.Kind, s.ID, s.US.Name, s.US.Abbr, s.US.Also, "|", s.Older.Also)
	}
}
