package photo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"

	"golang.org/x/image/webp"
	"pgregory.net/rapid"
)

// secret stands for what must not get out: a place, a name, a serial number.
const secret = "38.7072 N 9.1365 W, camera 0815"

func dots() image.Image {
	im := image.NewRGBA(image.Rect(0, 0, 33, 21))
	for i := range 33 * 21 {
		im.Set(i%33, i/33, color.RGBA{uint8(7 * i), uint8(3 * i), uint8(i), 255})
	}
	return im
}

func plainJPEG(t testing.TB) []byte {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, dots(), nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func plainPNG(t testing.TB) []byte {
	var b bytes.Buffer
	if err := png.Encode(&b, dots()); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// plainWebP is one dot, lossless.
const plainWebP = "RIFF\x1a\x00\x00\x00WEBPVP8L\x0d\x00\x00\x00\x2f\x00\x00\x00\x10\x07\x10\x11\x11\x88\x88\xfe\x07\x00"

func segment(marker byte, payload string) []byte {
	return append(binary.BigEndian.AppendUint16([]byte{0xff, marker}, uint16(2+len(payload))), payload...)
}

// exif is a segment with an orientation, in either order of bytes, and a
// secret.
func exif(order binary.AppendByteOrder, turned int) []byte {
	tiff := []byte("MM")
	if order == binary.AppendByteOrder(binary.LittleEndian) {
		tiff = []byte("II")
	}
	tiff = order.AppendUint16(tiff, 42)
	tiff = order.AppendUint32(tiff, 8)
	tiff = order.AppendUint16(tiff, 2)
	for _, e := range []struct{ tag, value int }{{0x010f, 0}, {orientationTag, turned}} {
		tiff = order.AppendUint16(tiff, uint16(e.tag))
		tiff = order.AppendUint16(tiff, 3)
		tiff = order.AppendUint32(tiff, 1)
		tiff = order.AppendUint16(tiff, uint16(e.value))
		tiff = append(tiff, 0, 0)
	}
	return segment(app1, exifBegins+string(tiff)+secret)
}

func chunk(kind, data string) []byte {
	out := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
	out = append(append(out, kind...), data...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE([]byte(kind+data)))
}

// told is each kind of picture with a secret wherever one can hide.
func told(t testing.TB) map[string][]byte {
	jpg := plainJPEG(t)
	withJPEG := func(segments ...[]byte) []byte {
		return append(append(append([]byte{0xff, startOfImage}, bytes.Join(segments, nil)...), jpg[2:]...), []byte("\xff\xd8"+secret)...)
	}
	p := plainPNG(t)
	head := len(pngBegins) + 25 // and IHDR
	w := plainWebP + "EXIF\x1f\x00\x00\x00" + secret + "\x00XMP \x1f\x00\x00\x00" + secret + "\x00"
	w = w[:4] + string(binary.LittleEndian.AppendUint32(nil, uint32(len(w)-8))) + w[8:]
	return map[string][]byte{
		"JPEG turned":    withJPEG(exif(binary.BigEndian, 6), segment(comment, secret), segment(app1, "http://ns.adobe.com/xap/1.0/\x00"+secret), segment(app15, secret)),
		"JPEG turned II": withJPEG(segment(app0, "JFXX\x00"+secret), exif(binary.LittleEndian, 3), segment(app2, "MPF\x00"+secret)),
		"JPEG":           withJPEG(exif(binary.BigEndian, 1)),
		"PNG":            bytes.Join([][]byte{p[:head], chunk("tEXt", "Author\x00"+secret), chunk("eXIf", secret), chunk("prVt", secret), p[head:], []byte(secret)}, nil),
		"WebP":           []byte(w),
	}
}

func decoded(t testing.TB, body []byte, k Kind) image.Image {
	t.Helper()
	read := map[Kind]func(*bytes.Reader) (image.Image, error){
		JPEG: func(r *bytes.Reader) (image.Image, error) { return jpeg.Decode(r) },
		PNG:  func(r *bytes.Reader) (image.Image, error) { return png.Decode(r) },
		WebP: func(r *bytes.Reader) (image.Image, error) { return webp.Decode(r) },
	}[k]
	im, err := read(bytes.NewReader(body))
	if err != nil {
		t.Fatalf("%s can't be read back: %v", k.Type, err)
	}
	return im
}

// TestBare: what hides is gone, what is seen is the same to the decoders of the
// standard library and golang.org/x/image, and how it is turned is kept.
func TestBare(t *testing.T) {
	turned := map[string]int{"JPEG turned": 6, "JPEG turned II": 3}
	for name, body := range told(t) {
		out, kind, err := Bare(body)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if bytes.Contains(out, []byte(secret)) || bytes.Contains(out, []byte("0815")) {
			t.Errorf("%s: the secret is still in it", name)
		}
		was, is := decoded(t, body, kind), decoded(t, out, kind)
		if was.Bounds() != is.Bounds() {
			t.Fatalf("%s: %v became %v", name, was.Bounds(), is.Bounds())
		}
		for y := range was.Bounds().Dy() {
			for x := range was.Bounds().Dx() {
				if was.At(x, y) != is.At(x, y) {
					t.Fatalf("%s: the dot at %d, %d changed", name, x, y)
				}
			}
		}
		got := 0
		if at := bytes.Index(out, []byte(exifBegins)); at >= 0 {
			got = turnedBy(out[at:])
		}
		if got != turned[name] {
			t.Errorf("%s: turned by %d, want %d", name, got, turned[name])
		}
		if again, _, err := Bare(out); err != nil || !bytes.Equal(again, out) {
			t.Errorf("%s: bared twice it differs (%v)", name, err)
		}
	}
}

// A progressive picture has several scans, with tables between them, and
// restarts within. The bytes are made by hand: no decoder is asked.
func TestBareSeveralScans(t *testing.T) {
	scan := append(segment(startOfScan, "\x01\x01\x00\x00\x3f\x00"), "dots\xff\x00\xff\xd0more"...)
	body := bytes.Join([][]byte{{0xff, startOfImage}, segment(0xc2, "frame"), segment(0xc4, "table"), scan, segment(0xc4, "table"), segment(comment, secret), scan, {0xff, endOfImage}}, nil)
	want := bytes.Join([][]byte{{0xff, startOfImage}, segment(0xc2, "frame"), segment(0xc4, "table"), scan, segment(0xc4, "table"), scan, {0xff, endOfImage}}, nil)
	out, kind, err := Bare(append(body, secret...))
	if err != nil || kind != JPEG || !bytes.Equal(out, want) {
		t.Errorf("got %q, %v", out, err)
	}
}

func TestBareRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		body string
		want error
	}{
		"nothing":             {"", ErrKind},
		"words":               {"a picture of a hat", ErrKind},
		"a sound":             {"RIFF\x04\x00\x00\x00WAVE", ErrKind},
		"a short RIFF":        {"RIFF\x04", ErrKind},
		"a JPEG's start":      {"\xff\xd8\xff", ErrBroken},
		"a segment cut off":   {"\xff\xd8\xff\xe0\x00\x10JFIF", ErrBroken},
		"a length of nothing": {"\xff\xd8\xff\xe0\x00\x00\xff\xd9", ErrBroken},
		"a PNG without end":   {pngBegins + "\x00\x00\x00\x00IDAT\x00\x00\x00\x00", ErrBroken},
		"a PNG's long chunk":  {pngBegins + "\xff\xff\xff\xffIDAT\x00\x00\x00\x00", ErrBroken},
		"a WebP cut off":      {plainWebP[:len(plainWebP)-4], ErrBroken},
		"a WebP of no dots":   {"RIFF\x04\x00\x00\x00WEBP", ErrBroken},
	} {
		if _, _, err := Bare([]byte(c.body)); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
}

// Wherever a picture is broken off, the answer is an error, or the picture.
func TestBareBrokenOff(t *testing.T) {
	all := told(t)
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom([]string{"JPEG", "PNG", "WebP", "JPEG turned"}).Draw(t, "which")
		body := all[name][:rapid.IntRange(0, len(all[name])).Draw(t, "bytes")]
		out, _, err := Bare(body)
		if err == nil && bytes.Contains(out, []byte(secret)) {
			t.Fatal("the secret is still in it")
		}
	})
}

func FuzzBare(f *testing.F) {
	for _, body := range told(f) {
		f.Add(body)
	}
	f.Add(plainJPEG(f))
	f.Add([]byte(plainWebP))
	f.Fuzz(func(t *testing.T, body []byte) {
		out, kind, err := Bare(body)
		if err != nil {
			return
		}
		if len(out) > len(body)+64 {
			t.Fatalf("%d bytes became %d", len(body), len(out))
		}
		again, same, err := Bare(out)
		if err != nil || same != kind || !bytes.Equal(again, out) {
			t.Fatalf("bared twice it differs: %v", err)
		}
	})
}
