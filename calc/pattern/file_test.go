package pattern

import "testing"

func TestHouse(t *testing.T) {
	all := House()
	if len(all) == 0 {
		t.Fatal("no house patterns")
	}
	for _, p := range all {
		if p.Author == "" || p.Licence == "" || p.Level == "" || len(p.For) == 0 || p.Summary == "" {
			t.Errorf("%s: the head is not whole", p.Name)
		}
	}
}
