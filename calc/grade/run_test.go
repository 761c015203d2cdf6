package grade

import (
	"testing"

	"countwright/calc/pattern"
)

func TestRunGrowsFromSizeToSize(t *testing.T) {
	for _, p := range pattern.House() {
		for _, g := range gauges {
			byTable := map[string][]Order{}
			list, err := orders(p)
			if err != nil {
				t.Fatal(err)
			}
			for _, o := range list {
				o.Gauge = g
				byTable[o.table] = append(byTable[o.table], o.Order)
			}
			for table, list := range byTable {
				made, err := Run(p, list)
				if err != nil {
					t.Errorf("%s %s %v: %v", p.Name, table, g, err)
					continue
				}
				for k := 1; k < len(made); k++ {
					small, large := made[k-1].plan, made[k].plan
					for i, c := range small.Counts {
						if c.Weight > 0 && large.Counts[i].Target >= c.Target && large.value[i] < small.value[i] {
							t.Errorf("%s %s %v size %d: %s goes from %d to %d, though it is drawn to %.2f and %.2f",
								p.Name, table, g, k, c.Name, small.value[i], large.value[i], c.Target, large.Counts[i].Target)
						}
					}
				}
			}
		}
	}
}
