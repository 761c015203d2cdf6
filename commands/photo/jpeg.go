package photo

import (
	"bytes"
	"encoding/binary"
	"slices"
)

// JPEG's markers that matter here.
const (
	startOfImage = 0xd8
	endOfImage   = 0xd9
	startOfScan  = 0xda
	app0         = 0xe0
	app1         = 0xe1
	app2         = 0xe2
	app14        = 0xee
	app15        = 0xef
	comment      = 0xfe
)

// bareJPEG copies a JPEG up to its end, without the segments of applications
// and comments. A new Exif segment says only how it is to be turned.
func bareJPEG(body []byte) ([]byte, error) {
	out := slices.Clone(body[:2])
	turned := 0
	for at := 2; ; {
		marker, from, ok := nextMarker(body, at)
		switch {
		case !ok:
			return nil, ErrBroken
		case marker == endOfImage:
			if turned > 1 { // straight after the start, where readers look
				out = slices.Insert(out, 2, orientation(turned)...)
			}
			return append(out, 0xff, endOfImage), nil
		case marker == startOfImage || marker == 0x01 || marker >= 0xd0 && marker < startOfImage: // stand alone
			return nil, ErrBroken
		}
		if from+2 > len(body) {
			return nil, ErrBroken
		}
		end := from + int(binary.BigEndian.Uint16(body[from:]))
		if end < from+2 || end > len(body) {
			return nil, ErrBroken
		}
		payload := body[from+2 : end]
		if marker == app1 && turned == 0 {
			turned = turnedBy(payload)
		}
		if marker == startOfScan {
			end = scanEnd(body, end)
		}
		if keptSegment(marker, payload) {
			out = append(out, 0xff, marker)
			out = append(out, body[from:end]...)
		}
		at = end
	}
}

// nextMarker reads a marker, and returns where what follows it begins.
func nextMarker(body []byte, at int) (marker byte, from int, ok bool) {
	if at >= len(body) || body[at] != 0xff {
		return 0, 0, false
	}
	for at < len(body) && body[at] == 0xff { // any number of fill bytes
		at++
	}
	if at >= len(body) || body[at] == 0 {
		return 0, 0, false
	}
	return body[at], at + 1, true
}

// scanEnd is where the coded dots that follow a scan's header end: at a marker
// that is neither a stuffed byte nor a restart.
func scanEnd(body []byte, at int) int {
	for ; at+1 < len(body); at++ {
		if body[at] == 0xff && body[at+1] != 0 && body[at+1] != 0xff && (body[at+1] < 0xd0 || body[at+1] > 0xd7) {
			return at
		}
	}
	return len(body)
}

// keptSegment reports whether a segment is part of the picture.
func keptSegment(marker byte, payload []byte) bool {
	switch {
	case marker == app0:
		return bytes.HasPrefix(payload, []byte("JFIF\x00"))
	case marker == app2:
		return bytes.HasPrefix(payload, []byte("ICC_PROFILE\x00"))
	case marker == app14:
		return bytes.HasPrefix(payload, []byte("Adobe"))
	case marker >= app0 && marker <= app15, marker == comment:
		return false
	}
	return true
}

// Of an Exif segment.
const (
	exifBegins     = "Exif\x00\x00"
	orientationTag = 0x0112
)

// turnedBy is the orientation that an Exif segment tells: 1 to 8, 0: none.
func turnedBy(payload []byte) int {
	tiff, ok := bytes.CutPrefix(payload, []byte(exifBegins))
	if !ok || len(tiff) < 8 {
		return 0
	}
	var order binary.ByteOrder = binary.BigEndian
	if tiff[0] == 'I' {
		order = binary.LittleEndian
	}
	at := int64(order.Uint32(tiff[4:]))
	if at+2 > int64(len(tiff)) {
		return 0
	}
	entries := tiff[at+2:]
	for range order.Uint16(tiff[at:]) {
		if len(entries) < 12 {
			return 0
		}
		if order.Uint16(entries) == orientationTag {
			if v := int(order.Uint16(entries[8:])); v >= 1 && v <= 8 {
				return v
			}
			return 0
		}
		entries = entries[12:]
	}
	return 0
}

// orientation is an Exif segment that says nothing else.
func orientation(turned int) []byte {
	tiff := []byte("MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x00\x00\x00\x00\x00\x00\x00")
	tiff[19] = byte(turned)
	payload := append([]byte(exifBegins), tiff...)
	head := binary.BigEndian.AppendUint16([]byte{0xff, app1}, uint16(2+len(payload)))
	return append(head, payload...)
}
