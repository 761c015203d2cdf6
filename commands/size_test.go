package commands

import (
	"context"
	"encoding/csv"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"countwright/calc/measure"
	"countwright/calc/sizing"
	"countwright/commands/reply"
)

func sizesFound(t *testing.T, line string) []map[string]any {
	t.Helper()
	return figuresOf(t, line)["fits"].([]map[string]any)
}

func TestSizeFindInSeveralStandards(t *testing.T) {
	for _, c := range []struct {
		line string
		want map[string]string
		src  string
	}{
		{"/size find chest:92 cm who:woman", map[string]string{"woman": "M", "EN letter woman": "M", "EN woman": "92", "ASTM woman": "8"}, "CYC M 91.5-96.5, EN M 90-98, 92 90-94, ASTM 8 is 36¼ in = 92.1 cm"},
		{"/size find chest:107 cm who:woman", map[string]string{"woman": "L", "EN letter woman": "XL", "EN woman": "110", "ASTM woman": "16"}, "CYC L 101.5-106.5; EN classes 107-113 and XL 107-119; ASTM 16 is 42⅛ in"},
		{"/size find chest:100 cm who:man", map[string]string{"man": "M", "EN letter man": "M", "EN man": "100"}, "CYC man M 38-40 in; EN M 94-102"},
		{"/size find chest:79 cm who:woman", map[string]string{"woman": "S"}, "the gap from 76 to 81 cm, nearer to 81"},
		{"/size find chest:200 cm who:woman", map[string]string{"woman": "5X", "EN letter woman": "3XL"}, "beyond every size: the largest"},
		{"/size find chest:20 cm who:baby", map[string]string{"baby": "3 months"}, "below every size: the smallest"},
	} {
		got := map[string]string{}
		for _, fit := range sizesFound(t, c.line) {
			got[fit["table"].(string)] = fit["size"].(string)
		}
		for table, size := range c.want {
			if got[table] != size {
				t.Errorf("%s: %s is %q, want %s (%s)", c.line, table, got[table], size, c.src)
			}
		}
	}
}

// TestSizeFindIsNeverNone: whatever the chest, somebody's size is named.
func TestSizeFindIsNeverNone(t *testing.T) {
	for chest := 20; chest <= 200; chest += 3 {
		line := "/size find chest:" + strconv.Itoa(chest) + " cm"
		if fits := sizesFound(t, line); len(fits) == 0 {
			t.Errorf("%s: none", line)
		}
	}
}

// TestSizeFindCountsRows: by hand: arms of 48 cm are 3.5 longer than L's 44.5;
// at 10 rows in 10 cm that is 3.5 rows, rounded 4; in 22 rows 7.7, 8.
func TestSizeFindCountsRows(t *testing.T) {
	for gauge, rows := range map[string]int{"14x10": 4, "16x22": 8} {
		for _, change := range figuresOf(t, "/size find chest:104 cm arm_length:48 cm who:woman gauge:"+gauge)["alter"].([]map[string]any) {
			if change["part"] != "sleeve length" || change["rows"] != rows || change["by_mm"] != 35.0 {
				t.Errorf("%s: %v", gauge, change)
			}
		}
	}
	text, err := reply.Plain(ask(t, "/size find chest:104 cm arm_length:41 cm who:woman gauge:14x10"))
	if err != nil || !strings.Contains(text, "Shorter sleeves: 3.5 cm (4 rows), before the underarm") {
		t.Errorf("%v\n%s", err, text)
	}
}

func TestSizeFindMistakes(t *testing.T) {
	for line, want := range map[string]string{
		"/size find":                             "give a measure of the body",
		"/size find chest:5 cm":                  "outside what it takes",
		"/size find who:head chest:90 cm":        "how large around is the head",
		"/size find wrist:17 cm who:dragon":      "none of woman, man",
		"/size find chest:90 cm swatch:nothing":  "no swatch of that name",
		"/size chart table:dragon":               "there is no table",
		"/size chart table:ease size:M":          "neither sizes nor measures",
		"/size chart":                            "it is missing",
		"/size chart table:woman measure:tail":   "there is no measure",
		"/size chart table:woman size:enormous":  "has no size",
		"/size chart table:craft head size:baby": "",
	} {
		r := ask(t, line)
		if want == "" && r.Error == nil {
			continue
		}
		if r.Error == nil || !strings.Contains(r.Error.Message, want) {
			t.Errorf("%s: %+v, want %s", line, r.Error, want)
		}
	}
}

// TestSizeChartsFitANarrowPhone: no table is wider than 38 columns, in either
// unit, and every measure of the table is in the file.
func TestSizeChartsFitANarrowPhone(t *testing.T) {
	for _, table := range sizing.Tables() {
		for _, units := range []string{"cm", "inches"} {
			c := chart{Table: table, units: unitNamed(units), measures: measuresOf(table)}
			for _, narrow := range c.tables(c.measures) {
				width := 0
				for j := range narrow.Head {
					widest := utf8.RuneCountInString(narrow.Head[j])
					for _, row := range narrow.Rows {
						widest = max(widest, utf8.RuneCountInString(row[j]))
					}
					width += widest + 2
				}
				if width-2 > narrowColumns {
					t.Errorf("%s in %s: %v is %d columns wide", table.Name, units, narrow.Head, width-2)
				}
			}
			plain, err := c.plain()
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range c.measures {
				if !strings.Contains(strings.Join(strings.Fields(plain), " "), string(m)+", "+m.How()) {
					t.Errorf("%s: the file lacks %s", table.Name, m)
				}
			}
		}
	}
}

// TestSizeFilesReadBack: the spreadsheet holds every figure of the table.
func TestSizeFilesReadBack(t *testing.T) {
	for _, table := range sizing.Tables() {
		rows, err := csv.NewReader(strings.NewReader(chart{Table: table}.csv())).ReadAll()
		if err != nil {
			t.Fatalf("%s: %v", table.Name, err)
		}
		if want := 1 + len(table.Sizes)*len(table.Rows); len(rows) != want {
			t.Errorf("%s: %d rows, want %d", table.Name, len(rows), want)
		}
		for _, row := range rows[1:] {
			size, err := table.Size(row[0])
			low, bad := strconv.ParseFloat(row[2], 64)
			if err != nil || bad != nil || measure.Of(low, measure.Centimetres)-size.Ranges[sizing.Measure(row[1])].Low > measure.Millimetre {
				t.Errorf("%s: %v", table.Name, row)
			}
		}
	}
}

// TestChartInches: the inch rows of the charts come back from the centimetre
// rows. Source: Craft Yarn Council, Woman Size Charts, inch rows (from memory).
func TestChartInches(t *testing.T) {
	woman, err := sizing.Named("woman")
	if err != nil {
		t.Fatal(err)
	}
	c := chart{Table: woman, units: measure.Inches}
	rows := c.tables([]sizing.Measure{sizing.Chest})[0].Rows
	for i, want := range strings.Fields("28–30 32–34 36–38 40–42 44–46 48–50 52–54 56–58 60–62") {
		if rows[i][1] != want {
			t.Errorf("%s: %s in, want %s", rows[i][0], rows[i][1], want)
		}
	}
}

func TestSizeButtonsAnswer(t *testing.T) {
	for _, line := range []string{"/size find chest:104 cm", "/size find head:43 cm", "/size chart table:woman", "/size chart table:ease", "/size chart table:blanket", "/size chart table:child size:8"} {
		checkButtons(t, line)
	}
}

func TestSizeSuggestions(t *testing.T) {
	set := All(withSwatch().services(), nil)
	call := asker
	call.Path, call.Inputs = "size chart", map[string]Input{"table": {Text: "man"}}
	offers := set.Complete(context.Background(), call, "size", "x")
	if len(offers) != 2 || offers[0].Value != "XL" || offers[1].Value != "2X" {
		t.Errorf("%v", offers)
	}
	if offers := set.Complete(context.Background(), call, "measure", "arm"); len(offers) != 3 {
		t.Errorf("%v", offers)
	}
	call.Inputs = nil
	if offers := set.Complete(context.Background(), call, "size", ""); offers != nil {
		t.Errorf("sizes of no table: %v", offers)
	}
}

func BenchmarkSizeFind(b *testing.B) {
	set := All(withSwatch().services(), nil)
	for b.Loop() {
		set.RunLine(context.Background(), asker, "/size find chest:104 cm cross_back:38 cm arm_length:48 cm gauge:14x10")
	}
}

func BenchmarkSizeChart(b *testing.B) {
	set := All(withSwatch().services(), nil)
	for b.Loop() {
		set.RunLine(context.Background(), asker, "/size chart table:woman")
	}
}
