package sizing

import (
	"strings"
	"testing"

	"countwright/calc/measure"
)

// printed is published tables as they are printed, a size a line, against
// which the data files are held cell by cell. Columns are measures.
var printed = []struct {
	table   string
	src     string
	unit    measure.Unit
	columns []Measure
	rows    string
}{
	{
		"woman", "Craft Yarn Council, Woman Size Charts, centimetre rows, as transcribed", measure.Centimetres,
		[]Measure{Chest, CentreBack, BackLength, CrossBack, ArmLength, UpperArm, ArmholeDepth, Waist, Hips},
		`XS | 71–76 | 66–68.5 | 42 | 35.5–37 | 42 | 25 | 15.5–16.5 | 58.5–61 | 83.5–86
		S | 81–86 | 68.5–70 | 43 | 37–38 | 43 | 26 | 16.5–17.5 | 63.5–67.5 | 89–91.5
		M | 91.5–96.5 | 71–72.5 | 43.5 | 39.5–40.5 | 43 | 28 | 17.5–19 | 71–76 | 96.5–101.5
		L | 101.5–106.5 | 73.5–75 | 44.5 | 42–43 | 44.5 | 30.5 | 19–20.5 | 81.5–86.5 | 106.5–111.5
		1X | 111.5–117 | 73.5–75 | 45 | 44.5 | 44.5 | 34.5 | 20.5–21.5 | 91.5–96.5 | 116.5–122
		2X | 122–127 | 76.5–77.5 | 45.5 | 45.5 | 45.5 | 39.5 | 21.5–23 | 101.5–106.5 | 132–134.5
		3X | 132–137 | 77.5–79 | 45.5 | 45.5 | 45.5 | 43 | 23–24 | 111.5–114 | 137–139.5
		4X | 142–147 | 80–81.5 | 47 | 47 | 47 | 47 | 24–25.5 | 116.5–119 | 142–144.5
		5X | 152–158 | 80–81.5 | 47 | 47 | 47 | 49.5 | 25.5–26.5 | 124–127 | 155–157`,
	},
	{
		"man", "Craft Yarn Council, Man Size Chart, inches (from memory)", measure.Inches,
		[]Measure{Chest, CentreBack, HipLength, CrossBack, ArmLength, UpperArm, ArmholeDepth, Waist, Hips},
		`S | 34–36 | 32–32.5 | 25–25.5 | 15.5–16 | 18 | 12 | 8.5–9 | 28–30 | 35–37
		M | 38–40 | 33–33.5 | 26.5–26.75 | 16.5–17 | 18.5 | 13 | 9–9.5 | 32–34 | 39–41
		L | 42–44 | 34–34.5 | 27–27.25 | 17.5–18 | 19.5 | 15 | 9.5–10 | 36–38 | 43–45
		XL | 46–48 | 35–35.5 | 27.5–27.75 | 18–18.5 | 20 | 16 | 10–10.5 | 42–44 | 47–49
		2X | 50–52 | 36–36.5 | 28–28.5 | 18.5–19 | 20.5 | 17 | 10.5–11 | 46–48 | 51–53`,
	},
	{
		"child", "Craft Yarn Council, Child and Youth Size Charts, centimetre rows, as transcribed", measure.Centimetres,
		[]Measure{Chest, CentreBack, BackLength, CrossBack, ArmLength, UpperArm, ArmholeDepth, Waist, Hips},
		`2 | 53 | 45.5 | 21.5 | 23.5 | 21.5 | 18 | 10.5 | 53 | 56
		4 | 58.5 | 49.5 | 24 | 25 | 26.5 | 19 | 12 | 54.5 | 59.5
		6 | 63.5 | 52 | 26.5 | 26 | 29 | 20.5 | 12.5 | 57 | 63.5
		8 | 67 | 56 | 31.5 | 27 | 31.5 | 21.5 | 14 | 59.5 | 71
		10 | 71 | 61 | 35.5 | 28.5 | 34.5 | 22 | 15.5 | 62 | 75
		12 | 76 | 66 | 38 | 30.5 | 38 | 23 | 16.5 | 63.5 | 80
		14 | 80 | 68.5 | 39.5 | 31 | 40.5 | 23.5 | 17.5 | 67.5 | 83.5
		16 | 82.5 | 71 | 40.5 | 33 | 42 | 24 | 19 | 69.5 | 90`,
	},
	{
		"baby", "Craft Yarn Council, Baby Size Chart, centimetres (from memory)", measure.Centimetres,
		[]Measure{Chest, CentreBack, BackLength, CrossBack, ArmLength, UpperArm, ArmholeDepth, Waist, Hips},
		`3 months | 40.5 | 26.5 | 15.5 | 18.5 | 15.5 | 14 | 8.5 | 45.5 | 48
		6 months | 43 | 29 | 17.5 | 19.5 | 16.5 | 15.5 | 9 | 48 | 50.5
		12 months | 45.5 | 31.5 | 19 | 21 | 19 | 16.5 | 9.5 | 50.5 | 50.5
		18 months | 48 | 35.5 | 20.5 | 21.5 | 20.5 | 17.5 | 10 | 52 | 53.5
		24 months | 50.5 | 45.5 | 21.5 | 22 | 21.5 | 19 | 10.5 | 53.5 | 56`,
	},
	{
		"EN woman", "EN 13402-3, class limits as coded in the R package Anthropometry; waist and hips from memory", measure.Centimetres,
		[]Measure{Chest, Waist, Hips},
		`76 | 74–78 | 60 | 84
		80 | 78–82 | 64 | 88
		84 | 82–86 | 68 | 92
		88 | 86–90 | 72 | 96
		92 | 90–94 | 76 | 100
		96 | 94–98 | 80 | 104
		100 | 98–102 | 84 | 108
		104 | 102–107 | 88 | 112
		110 | 107–113 | 94 | 117
		116 | 113–119 | 100 | 122
		122 | 119–125 | 106 | 127
		128 | 125–131 | 112 | 132`,
	},
	{
		"EN man", "EN 13402-3 (from memory)", measure.Centimetres,
		[]Measure{Chest, Waist},
		`84 | 84 | 72
		88 | 88 | 76
		92 | 92 | 80
		96 | 96 | 84
		100 | 100 | 88
		104 | 104 | 92
		108 | 108 | 96
		112 | 112 | 100
		116 | 116 | 104
		120 | 120 | 108
		126 | 126 | 114
		132 | 132 | 120`,
	},
	{
		"ASTM woman", "ASTM D5585-11e1, abstract page, inches", measure.Inches,
		[]Measure{Head, Neck, Chest, Waist},
		`00 | 21.25 | 13.25 | 31.125 | 25.375
		0 | 21.25 | 13.5 | 31.75 | 26.125
		2 | 21.5 | 13.75 | 33 | 26.875
		4 | 21.5 | 14 | 34.125 | 27.625
		6 | 21.75 | 14.25 | 35.25 | 28.5
		8 | 21.75 | 14.625 | 36.25 | 29.5
		10 | 22 | 14.875 | 37.25 | 30.5
		12 | 22 | 15.125 | 38.75 | 32.25
		14 | 22.25 | 15.5 | 40.375 | 34
		16 | 22.25 | 15.75 | 42.125 | 36
		18 | 22.5 | 16 | 44 | 38.25
		20 | 22.5 | 16.375 | 46 | 40.5`,
	},
	{
		"head", "WHO Child Growth Standards, 2007: 3rd centile of girls, 97th of boys", measure.Centimetres,
		[]Measure{Head},
		`newborn | 31.7–36.9
		1 month | 34.3–39.4
		3 months | 37.2–42.7
		6 months | 39.8–45.6
		9 months | 41.3–47.4
		12 months | 42.3–48.5
		18 months | 43.6–49.9
		2 years | 44.6–50.8
		3 years | 45.9–52.1
		4 years | 46.7–53
		5 years | 47.2–53.5`,
	},
	{
		"craft head", "Craft Yarn Council, head circumference, original table (from memory)", measure.Inches,
		[]Measure{Head},
		`preemie | 12
		baby | 14
		toddler | 16
		child | 18
		woman | 20
		man | 22`,
	},
}

// TestEveryCell holds each cell of each published row against the tables as
// printed; rows that are derived or common practice are tested elsewhere.
func TestEveryCell(t *testing.T) {
	for _, p := range printed {
		tab := table(t, p.table)
		lines := strings.Split(p.rows, "\n")
		if len(lines) != len(tab.Sizes) || tab.Unit != p.unit {
			t.Errorf("%s has %d sizes in %s, printed are %d in %s (%s)", p.table, len(tab.Sizes), tab.Unit, len(lines), p.unit, p.src)
			continue
		}
		for i, line := range lines {
			cells := strings.Split(line, "|")
			if name := strings.TrimSpace(cells[0]); tab.Sizes[i].Name != name {
				t.Errorf("%s: size %d is %s, printed %s (%s)", p.table, i, tab.Sizes[i].Name, name, p.src)
			}
			for j, m := range p.columns {
				cell := strings.ReplaceAll(strings.TrimSpace(cells[j+1]), "–", "-")
				want, err := parseRange(cell, p.unit)
				if err != nil || tab.Sizes[i].Ranges[m] != want {
					t.Errorf("%s %s %s is %s, printed %s, %v (%s)", p.table, tab.Sizes[i].Name, m, tab.Sizes[i].Ranges[m].Text(p.unit), cell, err, p.src)
				}
			}
		}
		checkRest(t, tab, p.columns)
	}
}

// checkRest: a row that is not printed in the source says that it is not.
func checkRest(t *testing.T, tab *Table, columns []Measure) {
	t.Helper()
	is := map[Measure]bool{}
	for _, m := range columns {
		is[m] = true
	}
	for _, row := range tab.Rows {
		if !is[row.Measure] && (row.Basis == Published || row.Source == tab.Source) {
			t.Errorf("%s %s claims to be published, and is not", tab.Name, row.Measure)
		}
		if row.Basis == Practice && row.Source != "common practice, no source" {
			t.Errorf("%s %s: source %q", tab.Name, row.Measure, row.Source)
		}
	}
}

// TestAcrossTables: measures that no chart has (wrist, hand, foot) stay in
// step with those that it has, and grow from table to table.
func TestAcrossTables(t *testing.T) {
	for _, name := range []string{"baby", "child", "woman", "man"} {
		for _, s := range table(t, name).Sizes {
			b := s.Body()
			for _, c := range []struct {
				smaller, larger Measure
			}{
				{Wrist, Hand}, {Wrist, UpperArm}, {Hand, Head}, {HandLength, FootLength}, {ArmholeDepth, BackLength},
				{ArmLength, CentreBack}, {Neck, Head}, {CrossBack, Chest}, {Foot, Head}, {FootLength, Head}, {UpperArm, Chest},
			} {
				if b[c.smaller] >= b[c.larger] {
					t.Errorf("%s %s: %s of %v is not below %s of %v", name, s.Name, c.smaller, b[c.smaller], c.larger, b[c.larger])
				}
			}
			// A sleeve from the centre back: half the back and the arm do not
			// reach further than from the neck to the wrist, by much.
			if reach := b[CrossBack]/2 + b[ArmLength]; reach > b[CentreBack].Scale(1.15) {
				t.Errorf("%s %s: half the back and the arm are %v, neck to wrist %v", name, s.Name, reach, b[CentreBack])
			}
		}
	}
	last := func(name string) Body { sizes := table(t, name).Sizes; return sizes[len(sizes)-1].Body() }
	first := func(name string) Body { return table(t, name).Sizes[0].Body() }
	for _, m := range []Measure{Chest, Head, Neck, Wrist, Hand, HandLength, FootLength, ArmLength, UpperArm} {
		if last("baby")[m] > first("child")[m].Scale(1.1) || first("child")[m] >= last("woman")[m] {
			t.Errorf("%s: baby's largest %v, child's smallest %v, woman's largest %v", m, last("baby")[m], first("child")[m], last("woman")[m])
		}
	}
}
