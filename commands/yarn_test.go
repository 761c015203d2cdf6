package commands

import (
	"context"
	"math"
	"strings"
	"testing"

	"countwright/calc/care"
	"countwright/calc/yarn"
	"countwright/commands/reply"
)

func TestYarnIsReadInAnyOrder(t *testing.T) {
	for _, c := range []struct {
		text          string
		grams, metres float64
		class         int // -1: none
		blend         string
	}{
		{"DK cotton, 50 g = 120 m", 50, 120, 3, "cotton"},
		{"50g/120m merino DK", 50, 120, 3, "wool"},
		{"4 ply", 0, 0, 1, ""},
		{"worsted weight acrylic", 0, 0, 4, "acrylic"},
		{"baby alpaca lace", 0, 0, 0, "alpaca"},
		{"80% wool 20% nylon sock yarn, 100 g 420 m", 100, 420, 1, "80 % wool, 20 % nylon"},
		{"3", 0, 0, 3, ""},
		{"100 g = 170 m", 100, 170, 4, ""},
		{"blue cotton", 0, 0, -1, "cotton"},
	} {
		got, err := readYarn(c.text)
		if err != nil || got.ball.Grams != c.grams || got.ball.Metres != c.metres {
			t.Errorf("%q: %+v, %v", c.text, got.ball, err)
			continue
		}
		classes := got.classesOf()
		if (c.class < 0) != (len(classes) == 0) || c.class >= 0 && !hasClass(classes, c.class) {
			t.Errorf("%q: %s, want class %d", c.text, classNames(classes), c.class)
		}
		if (got.blend == nil) != (c.blend == "") || got.blend != nil && got.blend.Text() != c.blend {
			t.Errorf("%q: %v, want %s", c.text, got.blend, c.blend)
		}
	}
	for text, want := range map[string]string{"blue": "tells neither", "80% wool 80% silk": "the parts make 160 %", "50 g = 1 m": "allowed are"} {
		if _, err := readYarn(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// TestLabelNarrowsAName: "fingering" names two classes, the label one of them.
func TestLabelNarrowsAName(t *testing.T) {
	told, err := readYarn("fingering, 100 g = 420 m")
	if classes := told.classesOf(); err != nil || len(classes) != 1 || classes[0].Number != 1 {
		t.Errorf("%s, %v", classNames(classes), err)
	}
	told, err = readYarn("DK, 100 g = 100 m")
	if classes := told.classesOf(); err != nil || len(classes) != 1 || classes[0].Number != 3 {
		t.Errorf("what she says wins where both differ: %s, %v", classNames(classes), err)
	}
}

func TestQuantities(t *testing.T) {
	for _, c := range []struct {
		text    string
		value   float64
		grams   bool
		assumed bool
		step    float64
	}{
		{"35 g", 35, true, false, 1}, {"35", 35, true, true, 1}, {"1.2 g", 1.2, true, false, 0.1}, {"1,2", 1.2, true, true, 0.1},
		{"60 m", 60, false, false, 1}, {"2 oz", 2 * 28.349523125, true, false, 1}, {"40 yd", 36.576, false, false, 1}, {"½ oz", 14.1747615625, true, false, 0.1},
	} {
		q, err := readQuantity(c.text)
		if err != nil || math.Abs(q.value-c.value) > 1e-9 || q.grams != c.grams || q.assumed != c.assumed || q.step != c.step {
			t.Errorf("%q: %+v, %v; want %+v", c.text, q, err, c)
		}
	}
	for _, text := range []string{"", "lots", "50 g = 120 m", "3 cats", "-5 g", "1000000 g"} {
		if q, err := readQuantity(text); err == nil {
			t.Errorf("%q: %+v", text, q)
		}
	}
}

func figuresOf(t *testing.T, line string) map[string]any {
	t.Helper()
	r := ask(t, line)
	if r.Error != nil {
		t.Fatalf("%s: %+v", line, *r.Error)
	}
	return r.Data.(map[string]any)
}

// TestYarnNeedFromASwatch: by hand: 17 g on 15 × 15 cm are 755.56 g a square
// metre; 120 × 150 cm take 1360 g, which with 170 m in 100 g are 2312 m; with a
// tenth 29.92 balls of 50 g.
func TestYarnNeedFromASwatch(t *testing.T) {
	d := figuresOf(t, "/yarn need width:120 cm length:150 cm swatch:rust wool yarn:50 g = 85 m")
	if d["grams"] != 1360.0 || d["metres"] != 2312.0 || d["balls"] != 30 {
		t.Errorf("%v", d)
	}
	// Half a millimetre twice in 15 cm and half a gram in 17: 3.6 %.
	if d["doubt_percent"] != 3.61 {
		t.Errorf("doubt %v", d["doubt_percent"])
	}
	none := figuresOf(t, "/yarn need width:120 cm length:150 cm swatch:rust wool yarn:50 g = 85 m spare:0")
	if none["balls"] != 28 {
		t.Errorf("27.2 balls without spare: %v", none["balls"])
	}
}

// TestYarnEnoughStops: by hand: 152 g in 90 rows are 1.6889 g a row.
func TestYarnEnoughStops(t *testing.T) {
	yes := figuresOf(t, "/yarn enough left:60 g rows:30 used:152 g worked:90")
	if yes["verdict"] != "yes" || yes["need"] != 50.67 || yes["margin"] != 9.33 || yes["stop_at"] != 15 {
		t.Errorf("%v", yes)
	}
	no := figuresOf(t, "/yarn enough left:20 g rows:30 used:152 g worked:90")
	if no["verdict"] != "no" || no["reaches"].(int) > 11 || no["reaches"].(int) < 10 {
		t.Errorf("20 g reach for 11.8 rows without the doubt: %v", no)
	}
	// The two ways of saying it agree: 152 g in 90 rows, or by the metre.
	metres := figuresOf(t, "/yarn enough left:102 m rows:30 used:152 g worked:90 yarn:50 g = 85 m")
	if metres["unit"] != "m" || metres["need"] != 86.13 {
		t.Errorf("50.667 g of 170 m in 100 g are 86.13 m: %v", metres)
	}
	if r := ask(t, "/yarn enough left:60 m rows:30 used:152 g worked:90 yarn:cotton"); r.Error == nil || r.Error.Option != "yarn" {
		t.Errorf("%+v", r.Error)
	}
}

// TestYarnEnoughInBalls: half a ball of 50 g is 25 g; a tenth of the ball is how
// well anybody can tell.
func TestYarnEnoughInBalls(t *testing.T) {
	for text, balls := range map[string]float64{"half a ball": 0.5, "1 ball": 1, "a ball": 1, "2 1/2 balls": 2.5, "1½ skeins": 1.5, "11 balls": 11, "ball": 0, "some balls": 0, "3 g": 0} {
		if got := readBalls(text); got != balls {
			t.Errorf("%q: %v, want %v", text, got, balls)
		}
	}
	d := figuresOf(t, "/yarn enough left:half a ball rows:20 per_row:1.0 g yarn:50 g = 120 m")
	if d["have"] != 25.0 || d["unit"] != "g" {
		t.Errorf("%v", d)
	}
	if r := ask(t, "/yarn enough left:half a ball rows:20 per_row:1 g"); r.Error == nil || r.Error.Option != "yarn" {
		t.Errorf("%+v", r.Error)
	}
}

// TestYarnSwapKeepsTheLength: by hand: 11 balls of 120 m are 1320 m; at 105 m in
// 50 g 628.57 g, and 13.83 balls with a tenth.
func TestYarnSwapKeepsTheLength(t *testing.T) {
	for _, amount := range []string{"11 balls", "550 g", "1320 m"} {
		d := figuresOf(t, "/yarn swap from:50 g = 120 m to:50 g = 105 m amount:"+amount)
		if d["metres"] != 1320.0 || d["grams"] != 628.57 || d["balls"] != 14 || d["likeness"] != "near" {
			t.Errorf("%s: %v", amount, d)
		}
	}
}

func TestYarnWeightAgrees(t *testing.T) {
	one, _ := yarn.ByWraps(12)    // 2, 3, 4
	two, _ := yarn.ByLength(220)  // 3
	other, _ := yarn.ByLength(60) // 6
	if best, votes := agreed([]clue{{matches: one}, {matches: two}}); votes != 2 || len(best) != 1 || best[0].Number != 3 {
		t.Errorf("%s, %d", classNames(best), votes)
	}
	if best, votes := agreed([]clue{{matches: two}, {matches: other}}); votes != 1 || len(best) != 2 {
		t.Errorf("%s, %d", classNames(best), votes)
	}
}

func TestYarnButtonsAnswer(t *testing.T) {
	for _, line := range []string{"/yarn care", "/yarn care symbol:iron with dots", "/yarn care symbol:tub with two bars", "/yarn weight name:4 ply", "/yarn weight label:50 g = 20 m"} {
		checkButtons(t, line)
	}
}

// TestEverySymbolAndFibreAnswers: what is offered while typing is understood.
func TestEverySymbolAndFibreAnswers(t *testing.T) {
	for _, s := range care.Symbols() {
		r := ask(t, "/yarn care symbol:"+quoted(s.Looks))
		if r.Error != nil || r.Data.(map[string]any)["symbols"].([]string)[0] != s.ID {
			t.Errorf("%s: %v, %+v", s.Looks, r.Data, r.Error)
		}
	}
	for _, f := range care.Fibres() {
		if r := ask(t, "/yarn care fibre:"+f.Name); r.Error != nil || r.Title != upperFirst(f.Name) {
			t.Errorf("%s: %s, %+v", f.Name, r.Title, r.Error)
		}
	}
	for _, p := range yarn.Pieces() {
		if r := ask(t, "/yarn need piece:"+p.Name+" yarn:DK"); r.Error != nil {
			t.Errorf("%s: %+v", p.Name, r.Error)
		}
	}
}

func TestYarnSuggestions(t *testing.T) {
	r := Request{}
	ctx := context.Background()
	for name, offers := range map[string][]Choice{
		"fibres": suggestFibres(ctx, r, ""), "coton": suggestFibres(ctx, r, "coton"), "symbols": suggestSymbols(ctx, r, ""), "iron": suggestSymbols(ctx, r, "iron"),
		"yarns": suggestYarns(""), "pieces": suggestPieces(ctx, r, ""), "sizes": suggestSizes(ctx, r, ""), "M": suggestSizes(ctx, r, "m"),
	} {
		if len(offers) == 0 || len(offers) > 25 {
			t.Errorf("%s: %d offers", name, len(offers))
		}
		for _, o := range offers {
			if o.Label == "" || len([]rune(o.Label)) > 100 || o.Value == "" {
				t.Errorf("%s: %+v", name, o)
			}
		}
	}
	if offers := suggestSizes(ctx, r, "m"); offers[0].Value != "woman M" && offers[0].Value != "man S" {
		t.Errorf("%v", offers)
	}
}

// TestBabiesGetTheirCautions: whatever is reckoned for a baby says what to
// beware of.
func TestBabiesGetTheirCautions(t *testing.T) {
	for line, want := range map[string]string{
		"/yarn need piece:hat size:baby 6 months yarn:DK": "no cords or drawstrings",
		"/yarn need piece:stuffed toy yarn:DK":            "come off",
		"/yarn need piece:pram blanket yarn:DK":           "sleeping baby",
		"/yarn need piece:hat size:man M yarn:DK":         "",
		"/yarn need piece:throw blanket yarn:DK":          "",
	} {
		text := ""
		for _, p := range ask(t, line).Parts {
			if c, ok := p.(reply.Caution); ok {
				text += c.Text
			}
		}
		if (want == "") != (text == "") || !strings.Contains(text, want) {
			t.Errorf("%s: %q, want %q", line, text, want)
		}
	}
}

// FuzzReadYarn: whatever is typed, the answer is a yarn within its limits or a
// kind error.
func FuzzReadYarn(f *testing.F) {
	for _, text := range []string{"DK cotton, 50 g = 120 m", "80% wool 20% nylon", "3", "½ oz lace", "0 g", "9e9 m", "4 ply 4 ply 4 ply"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 200 {
			return
		}
		told, err := readYarn(text)
		if err == nil && told.ball.Check() != nil {
			t.Fatalf("%q: %+v", text, told)
		}
		if q, err := readQuantity(text); err == nil && !(q.value > 0 || q.balls > 0) {
			t.Fatalf("%q: %+v", text, q)
		}
		if found, err := findHook(text); err == nil && len(found) == 0 {
			t.Fatalf("%q: no hook and no error", text)
		}
	})
}

func BenchmarkYarnNeed(b *testing.B) {
	set := All(withSwatch().services(), nil)
	for b.Loop() {
		set.RunLine(context.Background(), asker, "/yarn need piece:pullover size:woman M yarn:DK")
	}
}

func BenchmarkYarnSuggestions(b *testing.B) {
	for b.Loop() {
		suggestSymbols(context.Background(), Request{}, "tub with 30 and tow bars")
		suggestYarns("or")
		suggestSizes(context.Background(), Request{}, "m")
	}
}
