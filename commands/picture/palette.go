package picture

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"slices"

	"github.com/klauspost/compress/zlib"
)

// A drawing has few colours, so it is written as an eight-bit palette image:
// a quarter of the bytes and a sixth of the time of a general encoder.

// slots is the size of the colour table; fewer than half of them are used.
const slots = 1 << 16

// census counts the colours of an image.
type census struct {
	key   [slots]uint32 // colour + 1; 0: free
	count [slots]uint32
	entry [slots]uint8 // its place in the palette
	used  int
	mask  uint32 // the bits of a colour that are told apart
}

// find returns the slot of a colour.
func (c *census) find(rgb uint32) uint32 {
	rgb &= c.mask
	i := (rgb * 0x9E3779B1) >> 16
	for c.key[i] != 0 && c.key[i] != rgb+1 {
		i = (i + 1) % slots
	}
	if c.key[i] == 0 {
		c.key[i] = rgb + 1
		c.used++
	}
	return i
}

// encodeRGBA writes an opaque image as PNG. Up to 256 colours are exact; of
// more, near ones are merged into the commonest of them.
func encodeRGBA(src image.Image) ([]byte, error) {
	im, ok := src.(*image.RGBA)
	if !ok {
		return nil, errors.New("encode picture: not an RGBA image")
	}
	c, enough := count(im, 0xFFFFFF)
	if !enough {
		c, _ = count(im, 0xF8F8F8)
	}
	palette := c.choose()
	w, h := im.Rect.Dx(), im.Rect.Dy()

	var out bytes.Buffer
	out.WriteString("\x89PNG\r\n\x1a\n")
	head := binary.BigEndian.AppendUint32(nil, uint32(w))
	head = binary.BigEndian.AppendUint32(head, uint32(h))
	chunk(&out, "IHDR", append(head, 8, 3, 0, 0, 0)) // eight bits, palette
	table := make([]byte, 0, 3*len(palette))
	for _, rgb := range palette {
		table = append(table, byte(rgb>>16), byte(rgb>>8), byte(rgb))
	}
	chunk(&out, "PLTE", table)
	body, err := c.deflate(im)
	if err != nil {
		return nil, err
	}
	chunk(&out, "IDAT", body)
	chunk(&out, "IEND", nil)
	return out.Bytes(), nil
}

// count takes the census, and says whether the table was large enough.
func count(im *image.RGBA, mask uint32) (*census, bool) {
	c := &census{mask: mask}
	last, slot := uint32(0), uint32(0) // no opaque pixel is 0
	for y := range im.Rect.Dy() {
		line := im.Pix[y*im.Stride:][:4*im.Rect.Dx()]
		for ; len(line) >= 4; line = line[4:] {
			if px := binary.LittleEndian.Uint32(line); px != last {
				last, slot = px, c.find(colourOf(px))
				if c.used > slots/2 {
					return nil, false
				}
			}
			c.count[slot]++
		}
	}
	return c, true
}

// colourOf is the colour of a pixel read as four bytes, 0xRRGGBB.
func colourOf(px uint32) uint32 { return px&0xFF<<16 | px&0xFF00 | px>>16&0xFF }

// choose makes the palette, the commonest colour first.
func (c *census) choose() []uint32 {
	var all []uint32 // slots in use
	for i, k := range c.key {
		if k != 0 {
			all = append(all, uint32(i))
		}
	}
	slices.SortFunc(all, func(a, b uint32) int {
		return cmp.Or(cmp.Compare(c.count[b], c.count[a]), cmp.Compare(c.key[a], c.key[b]))
	})
	for _, mask := range []uint32{0xFFFFFF, 0xF8F8F8, 0xF0F0F0, 0xE0E0C0} {
		place := map[uint32]uint8{}
		var palette []uint32
		for _, i := range all {
			rgb := c.key[i] - 1
			at, known := place[rgb&mask]
			if !known {
				if len(palette) == 256 {
					palette = nil
					break
				}
				at = uint8(len(palette))
				place[rgb&mask] = at
				palette = append(palette, rgb)
			}
			c.entry[i] = at
		}
		if palette != nil {
			return palette
		}
	}
	panic("picture: the coarsest palette has at most 256 colours")
}

// deflate writes the pixels as palette entries, a line each after a byte that
// says "unfiltered".
func (c *census) deflate(im *image.RGBA) ([]byte, error) {
	var out bytes.Buffer
	z, err := zlib.NewWriterLevel(&out, 5)
	if err != nil {
		return nil, err
	}
	w := im.Rect.Dx()
	row := make([]byte, 1+w)
	last, entry := uint32(0), uint8(0)
	for y := range im.Rect.Dy() {
		line := im.Pix[y*im.Stride:][:4*w]
		for x := range row[1:] {
			if px := binary.LittleEndian.Uint32(line[4*x:]); px != last {
				last, entry = px, c.entry[c.find(colourOf(px))]
			}
			row[1+x] = entry
		}
		if _, err := z.Write(row); err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func chunk(out *bytes.Buffer, kind string, body []byte) {
	out.Write(binary.BigEndian.AppendUint32(nil, uint32(len(body))))
	sum := crc32.NewIEEE()
	sum.Write([]byte(kind))
	sum.Write(body)
	out.WriteString(kind)
	out.Write(body)
	out.Write(binary.BigEndian.AppendUint32(nil, sum.Sum32()))
}
