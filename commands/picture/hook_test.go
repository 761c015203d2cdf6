package picture

import (
	"image/color"
	"math"
	"strings"
	"testing"
)

var hooks = map[string]Hooks{
	"hooks": {Title: "What “7” can be", Hooks: []HookShown{
		{MM: 1.65, Name: "1.65 mm · US steel 7"}, {MM: 4.5, Name: "4.5 mm · US 7 · old UK 7", Asked: true}, {MM: 7, Name: "7 mm · old UK 2"},
	}},
	"hooks-inches": {Title: "5 mm", Inches: true, Hooks: []HookShown{{MM: 5, Name: "5 mm · US H-8", Asked: true, Remark: "the one you asked for"}}},
	"hooks-ends":   {Title: "The thinnest and the thickest", Hooks: []HookShown{{MM: 0.5, Name: "0.5 mm"}, {MM: 30, Name: "30 mm · US T/X"}}},
}

func TestHooks(t *testing.T) {
	for name, h := range hooks {
		t.Run(name, func(t *testing.T) {
			d, err := h.Draw()
			if err != nil {
				t.Fatal(err)
			}
			look(t, name, d)
			golden(t, name+".svg", SVG(d))
			for _, one := range h.Hooks {
				if !strings.Contains(d.Description, one.Name) {
					t.Errorf("the description does not name %s", one.Name)
				}
			}
		})
	}
}

// TestHooksAreToScale counts the dots of ink across a hook and along the
// ruler: at 10.8 dots a millimetre both must be as long as they say.
func TestHooksAreToScale(t *testing.T) {
	d, err := Hooks{Title: "8 mm", Hooks: []HookShown{{MM: 8, Name: "8 mm", Asked: true}}}.Draw()
	if err != nil {
		t.Fatal(err)
	}
	im := look(t, "hooks-scale", d)
	dark := func(x, y int) bool {
		c := color.RGBAModel.Convert(im.At(x, y)).(color.RGBA)
		return c.R < 0x60
	}
	const dots = 10.8
	first, last := 0, 0                        // starting anew after a gap of 9 mm
	for y := range im.Bounds().Dy() * 6 / 10 { // down through the shaft
		if dark(int(50*dots), y) {
			if first == 0 || y-last > 97 {
				first = y
			}
			last = y
		}
	}
	if got := float64(last-first) / dots; math.Abs(got-8) > 0.6 {
		t.Errorf("the hook is %.2f mm thick, want 8 and its outline", got)
	}
	var ruler Path
	for _, m := range d.Marks {
		if p, ok := m.(Path); ok && len(p.Points) == 2 && p.Points[0].Y == p.Points[1].Y {
			ruler = p
		}
	}
	if got := ruler.Points[1].X - ruler.Points[0].X; got != 50 || d.Width != 100 {
		t.Errorf("the ruler is %v mm on a sheet of %v, want 50 on 100", got, d.Width)
	}
}

// TestHookOutlineIsAsThickAsTheHook: the shaft has the hook's thickness, and
// nothing of the head is thicker.
func TestHookOutlineIsAsThickAsTheHook(t *testing.T) {
	for _, mm := range []float64{0.5, 2.25, 5, 15.75, 30} {
		b := bounds(hookOutline(Point{4, 20}, mm, hookLength, Pen{}).Points)
		if math.Abs(b.height()-mm) > 1e-9 || math.Abs(b.width()-hookLength) > 1e-9 {
			t.Errorf("%v mm: %v high, %v long", mm, b.height(), b.width())
		}
	}
}

func TestHooksRefuse(t *testing.T) {
	for _, h := range []Hooks{{}, {Hooks: make([]HookShown, 9)}, {Hooks: []HookShown{{MM: math.NaN()}}}, {Hooks: []HookShown{{MM: -2}}}, {Hooks: []HookShown{{MM: 99}}}} {
		if _, err := h.Draw(); err == nil {
			t.Errorf("%v was drawn", h)
		}
	}
}

func BenchmarkHooks(b *testing.B) {
	for b.Loop() {
		d, _ := hooks["hooks"].Draw()
		if _, err := PNG(d, PNGOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
