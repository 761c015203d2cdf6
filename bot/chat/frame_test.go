package chat

import (
	"bufio"
	"bytes"
	"strings"
	"testing"
)

// Source: RFC 6455, section 5.7, the examples of frames.
var rfcFrames = []struct {
	name  string
	bytes []byte
	want  frame
	text  string
}{
	{"unmasked text", []byte{0x81, 0x05, 0x48, 0x65, 0x6c, 0x6c, 0x6f}, frame{kind: frameText, final: true, head: 2, length: 5}, "Hello"},
	{"masked text", []byte{0x81, 0x85, 0x37, 0xfa, 0x21, 0x3d, 0x7f, 0x9f, 0x4d, 0x51, 0x58}, frame{kind: frameText, final: true, masked: true, head: 6, length: 5}, "Hello"},
	{"first fragment", []byte{0x01, 0x03, 0x48, 0x65, 0x6c}, frame{kind: frameText, head: 2, length: 3}, "Hel"},
	{"last fragment", []byte{0x80, 0x02, 0x6c, 0x6f}, frame{final: true, head: 2, length: 2}, "lo"},
	{"masked pong", []byte{0x8a, 0x85, 0x37, 0xfa, 0x21, 0x3d, 0x7f, 0x9f, 0x4d, 0x51, 0x58}, frame{kind: 0xa, final: true, masked: true, head: 6, length: 5}, "Hello"},
	{"256 bytes", append([]byte{0x82, 0x7e, 0x01, 0x00}, make([]byte, 256)...), frame{kind: 2, final: true, head: 4, length: 256}, strings.Repeat("\x00", 256)},
	{"64 KiB", append([]byte{0x82, 0x7f, 0, 0, 0, 0, 0, 1, 0, 0}, make([]byte, 65536)...), frame{kind: 2, final: true, head: 10, length: 65536}, strings.Repeat("\x00", 65536)},
}

func TestFramesOfTheStandard(t *testing.T) {
	for _, tt := range rfcFrames {
		got, err := frameOf(tt.bytes)
		if err != nil || got != tt.want {
			t.Errorf("%s: %+v, %v; want %+v", tt.name, got, err, tt.want)
		}
		if text := payloadOf(got, tt.bytes); string(text) != tt.text {
			t.Errorf("%s holds %q", tt.name, text)
		}
		if peeked, err := peekFrame(bufio.NewReader(bytes.NewReader(tt.bytes))); err != nil || peeked != tt.want {
			t.Errorf("%s peeked: %+v, %v", tt.name, peeked, err)
		}
		for n := range got.head {
			if _, err := frameOf(tt.bytes[:n]); err == nil {
				t.Errorf("%s: %d bytes were taken for a head", tt.name, n)
			}
		}
		if cut := payloadOf(got, tt.bytes[:len(tt.bytes)-1]); cut != nil {
			t.Errorf("%s: a cut payload was read as %q", tt.name, cut)
		}
	}
}

func TestWrittenFrameIsReadBack(t *testing.T) {
	var out bytes.Buffer
	if err := writeFrame(&out, frameText, []byte(`{"op":1,"d":7}`)); err != nil {
		t.Fatal(err)
	}
	f, err := frameOf(out.Bytes())
	if err != nil || !f.masked || string(payloadOf(f, out.Bytes())) != `{"op":1,"d":7}` {
		t.Errorf("%+v, %v", f, err)
	}
	if writeFrame(&out, frameText, make([]byte, 126)) == nil {
		t.Error("a text that needs another head was written")
	}
}

func FuzzFrame(f *testing.F) {
	for _, tt := range rfcFrames {
		f.Add(tt.bytes[:min(len(tt.bytes), 300)])
	}
	f.Add([]byte{0x81, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff})
	f.Add([]byte{0x30, 0xff, 0x7f, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xfe, 0, 0, 0, 0}) // a length that overflows with its head
	f.Fuzz(func(t *testing.T, b []byte) {
		got, err := frameOf(b)
		peeked, errPeeked := peekFrame(bufio.NewReader(bytes.NewReader(b)))
		if (err == nil) != (errPeeked == nil) || got != peeked {
			t.Fatalf("%x: %+v, %v and %+v, %v", b, got, err, peeked, errPeeked)
		}
		if err == nil && (got.length < 0 || got.head < 2 || got.head > 14) {
			t.Fatalf("%x: %+v", b, got)
		}
		payloadOf(got, b)
	})
}
