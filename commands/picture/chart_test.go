package picture

import (
	"testing"
)

var charts = map[string]Chart{
	"plain": plainChart(12, 6, "dc"), "lace": laceChart(), "shaped": shapedChart(9), "circle": circleChart(5, 6, "sc"),
	"circle-dc": circleChart(4, 12, "dc"), "granny": granny(3), "large": plainChart(40, 40, "sc"),
}

func TestCharts(t *testing.T) {
	for name, c := range charts {
		t.Run(name, func(t *testing.T) {
			d, err := c.Draw()
			if err != nil {
				t.Fatal(err)
			}
			look(t, "chart-"+name, d)
			if name != "large" {
				golden(t, "chart-"+name+".svg", SVG(d))
			}
		})
	}
}

func BenchmarkChart(b *testing.B) {
	c := plainChart(40, 40, "dc")
	for b.Loop() {
		d, err := c.Draw()
		if err != nil {
			b.Fatal(err)
		}
		if _, err := PNG(d, PNGOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
