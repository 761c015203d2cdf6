package grade

import (
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/pattern"
	"countwright/calc/sizing"
)

func womanOrders(b *testing.B, name string) (*pattern.Pattern, []Order) {
	b.Helper()
	p, _ := pattern.Find(name)
	table, err := sizing.Named("woman")
	if err != nil {
		b.Fatal(err)
	}
	var list []Order
	for _, size := range table.Sizes {
		c, err := table.Complete(size.Body())
		if err != nil {
			b.Fatal(err)
		}
		list = append(list, Order{Body: c.Body, Gauge: gauge.Gauge{Stitches: 14, Rows: 10}})
	}
	return p, list
}

// BenchmarkMake is one cardigan for a chest of 112 cm: rounded, written, proved.
func BenchmarkMake(b *testing.B) {
	p, _ := pattern.Find("cardigan")
	table, err := sizing.Named("woman")
	if err != nil {
		b.Fatal(err)
	}
	c, err := table.Complete(sizing.Body{sizing.Chest: measure.Of(112, measure.Centimetres)})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Make(p, Order{Body: c.Body, Gauge: gauge.Gauge{Stitches: 14, Rows: 10}}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkRun is garments in all nine sizes of a table.
func BenchmarkRun(b *testing.B) {
	for _, name := range []string{"cardigan", "raglan"} {
		b.Run(name, func(b *testing.B) {
			p, list := womanOrders(b, name)
			for b.Loop() {
				if _, err := Run(p, list); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
