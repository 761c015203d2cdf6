package photo

import (
	"encoding/binary"
	"slices"
)

const pngBegins = "\x89PNG\r\n\x1a\n"

// pngKept are the chunks that are part of the picture: its dots, how they move,
// and what colours its numbers mean.
var pngKept = []string{
	"IHDR", "PLTE", "IDAT", "IEND", "tRNS", "acTL", "fcTL", "fdAT",
	"cHRM", "gAMA", "iCCP", "sBIT", "sRGB", "cICP", "mDCV", "cLLI", "bKGD", "hIST", "pHYs", "sPLT",
}

// barePNG copies the chunks that are part of the picture, up to its end.
func barePNG(body []byte) ([]byte, error) {
	out := []byte(pngBegins)
	for rest := body[len(pngBegins):]; len(rest) >= 12; {
		long := int64(binary.BigEndian.Uint32(rest)) + 12 // with its length, kind and check
		if long > int64(len(rest)) {
			return nil, ErrBroken
		}
		kind := string(rest[4:8])
		if slices.Contains(pngKept, kind) {
			out = append(out, rest[:long]...)
		}
		if kind == "IEND" {
			return out, nil
		}
		rest = rest[long:]
	}
	return nil, ErrBroken
}
