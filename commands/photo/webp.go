package photo

import (
	"encoding/binary"
	"slices"
)

// webpKept are the chunks that are part of the picture.
var webpKept = []string{"VP8 ", "VP8L", "VP8X", "ALPH", "ANIM", "ANMF", "ICCP"}

// In the flags of a VP8X chunk: that there is Exif or XMP.
const webpTold = 0x08 | 0x04

// bareWebP copies the chunks that are part of the picture.
func bareWebP(body []byte) ([]byte, error) {
	size := int64(binary.LittleEndian.Uint32(body[4:])) + 8
	if size > int64(len(body)) || size < 12 {
		return nil, ErrBroken
	}
	out := slices.Clone(body[:12])
	dots := false
	for rest := body[12:size]; len(rest) > 0; {
		if len(rest) < 8 {
			return nil, ErrBroken
		}
		long := int64(binary.LittleEndian.Uint32(rest[4:])) + 8
		long += long % 2 // an odd one is followed by a byte
		if long > int64(len(rest)) {
			return nil, ErrBroken
		}
		kind := string(rest[:4])
		if slices.Contains(webpKept, kind) {
			dots = dots || kind != "VP8X" && kind != "ICCP"
			out = append(out, rest[:long]...)
			if kind == "VP8X" && long > 8 {
				out[int64(len(out))-long+8] &^= webpTold
			}
		}
		rest = rest[long:]
	}
	if !dots {
		return nil, ErrBroken
	}
	binary.LittleEndian.PutUint32(out[4:], uint32(len(out)-8))
	return out, nil
}
