package picture

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"pgregory.net/rapid"
)

// decode reads a picture back with the standard library's decoder.
func decode(t testing.TB, data []byte) image.Image {
	t.Helper()
	im, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatalf("the picture can't be read back: %v", err)
	}
	return im
}

// look saves a picture, whole and as a telephone shows it, where
// COUNTWRIGHT_PICTURES names a folder: for eyes, not for tests.
func look(t testing.TB, name string, d *Drawing) image.Image {
	t.Helper()
	data, err := PNG(d, PNGOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if dir := os.Getenv("COUNTWRIGHT_PICTURES"); dir != "" {
		small, err := PNG(d, PNGOptions{Width: 360})
		if err != nil {
			t.Fatal(err)
		}
		for file, body := range map[string][]byte{name + ".png": data, name + "-phone.png": small, name + ".svg": SVG(d)} {
			if err := os.WriteFile(filepath.Join(dir, file), body, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	return decode(t, data)
}

func TestPNG(t *testing.T) {
	im := look(t, "sample", sample())
	if got := im.Bounds().Size(); got != (image.Point{1080, 648}) {
		t.Errorf("size %v, want 1080 by 648: 100 by 60 mm", got)
	}
	for _, tt := range []struct {
		what string
		x, y float64
		want Colour
	}{
		{"the ground", 3, 3, Paper},
		{"inside the triangle", 25, 15, Cloth},
		{"the triangle's edge", 25, 10, Ink},
		{"half-opaque blue on the ground", 60, 20, Colour{0x8B, 0xAC, 0xC1, 0xFF}},
		{"within the ellipse", 80, 20, Paper},
	} {
		got := color.RGBAModel.Convert(im.At(int(tt.x*10.8), int(tt.y*10.8))).(color.RGBA)
		want := color.RGBA(tt.want)
		if away(got, want) > 2 {
			t.Errorf("%s is %v, want %v", tt.what, got, want)
		}
	}
}

// away is the largest difference of a channel.
func away(a, b color.RGBA) int {
	d := 0
	for _, p := range [][2]uint8{{a.R, b.R}, {a.G, b.G}, {a.B, b.B}, {a.A, b.A}} {
		d = max(d, int(p[0])-int(p[1]), int(p[1])-int(p[0]))
	}
	return d
}

func TestPNGSize(t *testing.T) {
	for _, tt := range []struct {
		opt  PNGOptions
		w, h int
	}{
		{PNGOptions{}, 1080, 648},
		{PNGOptions{Width: 360}, 360, 216},
		{PNGOptions{PxPerMM: 4}, 400, 240},
		{PNGOptions{Width: 500, PxPerMM: 4}, 500, 300},
	} {
		data, err := PNG(sample(), tt.opt)
		if err != nil {
			t.Fatal(err)
		}
		if got := decode(t, data).Bounds().Size(); got != (image.Point{tt.w, tt.h}) {
			t.Errorf("%+v gives %v, want %d by %d", tt.opt, got, tt.w, tt.h)
		}
	}
}

func TestPNGRefuses(t *testing.T) {
	for _, d := range []*Drawing{{}, {Width: 10}, {Width: -1, Height: 5}, {Width: math.NaN(), Height: 5}, {Width: 10, Height: math.Inf(1)}, {Width: 1, Height: 5000}} {
		if _, err := PNG(d, PNGOptions{}); err == nil {
			t.Errorf("a drawing of %v by %v mm was painted", d.Width, d.Height)
		}
	}
	if _, err := PNG(&Drawing{Width: 10, Height: 10, Marks: []Mark{nil}}, PNGOptions{}); err == nil {
		t.Error("an unknown mark was passed over in silence")
	}
}

// Surfaces render at the same time; the same drawing gives the same bytes.
func TestSameBytes(t *testing.T) {
	want, err := PNG(sample(), PNGOptions{})
	if err != nil {
		t.Fatal(err)
	}
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			got, err := PNG(sample(), PNGOptions{})
			if err != nil || !bytes.Equal(got, want) {
				t.Errorf("another rendering differs (%v)", err)
			}
		})
	}
	all.Wait()
}

// Up to 256 colours an image comes back exactly; the standard library is the
// judge.
func TestEncodeExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 40).Draw(t, "w"), rapid.IntRange(1, 40).Draw(t, "h")
		colours := rapid.SliceOfN(rapid.Uint32Range(0, 0xFFFFFF), 1, 256).Draw(t, "colours")
		im := image.NewRGBA(image.Rect(0, 0, w, h))
		for i := range w * h {
			c := colours[rapid.IntRange(0, len(colours)-1).Draw(t, "c")]
			copy(im.Pix[4*i:], []byte{byte(c >> 16), byte(c >> 8), byte(c), 0xFF})
		}
		data, err := encodeRGBA(im)
		if err != nil {
			t.Fatal(err)
		}
		back, err := png.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		for y := range h {
			for x := range w {
				if got := color.RGBAModel.Convert(back.At(x, y)); got != im.At(x, y) {
					t.Fatalf("(%d,%d) is %v, want %v", x, y, got, im.At(x, y))
				}
			}
		}
	})
}

// More colours are merged, but none moves far.
func TestEncodeManyColours(t *testing.T) {
	for _, tt := range []struct {
		name   string
		colour func(i int) [3]int
		most   int // the largest error of a channel
	}{
		{"a ramp of 512 greens and blues", func(i int) [3]int { i %= 512; return [3]int{0, i / 256 * 8, i % 256} }, 7},
		{"2,000 tints", func(i int) [3]int { n := i % 2000; return [3]int{n % 20 * 12, n / 20 % 10 * 25, n / 200 * 25} }, 63},
		{"every colour of a wide cube", func(i int) [3]int { return [3]int{i % 64 * 4, i / 64 % 64 * 4, i / 4096 % 64 * 4} }, 63},
	} {
		im := image.NewRGBA(image.Rect(0, 0, 512, 512))
		for i := range 512 * 512 {
			c := tt.colour(i)
			copy(im.Pix[4*i:], []byte{byte(c[0]), byte(c[1]), byte(c[2]), 0xFF})
		}
		data, err := encodeRGBA(im)
		if err != nil {
			t.Fatal(err)
		}
		back := decode(t, data)
		worst := 0
		for i := range 512 * 512 {
			got := color.RGBAModel.Convert(back.At(i%512, i/512)).(color.RGBA)
			worst = max(worst, away(got, im.RGBAAt(i%512, i/512)))
		}
		if worst > tt.most {
			t.Errorf("%s: a channel is off by %d, want at most %d", tt.name, worst, tt.most)
		}
	}
	if _, err := encodeRGBA(image.NewGray(image.Rect(0, 0, 1, 1))); err == nil {
		t.Error("an image of another kind was taken")
	}
}

func BenchmarkPNG(b *testing.B) {
	d := sample()
	for b.Loop() {
		if _, err := PNG(d, PNGOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
