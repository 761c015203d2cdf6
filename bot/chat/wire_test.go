package chat

import (
	"bytes"
	"errors"
	"io"
	"net"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"pgregory.net/rapid"
)

// stream is a connection that reads from one side and writes to another.
type stream struct {
	net.Conn
	io.Reader
	out bytes.Buffer
}

func (s *stream) Read(p []byte) (int, error)      { return s.Reader.Read(p) }
func (s *stream) Write(p []byte) (int, error)     { return s.out.Write(p) }
func (s *stream) Close() error                    { return nil }
func (s *stream) SetReadDeadline(time.Time) error { return nil }

const upgraded = "HTTP/1.1 101 Switching Protocols\r\nUpgrade: websocket\r\n\r\n"

// served makes a frame as the service sends it.
func served(kind byte, payload string) string {
	b := []byte{frameFinal | kind}
	switch n := len(payload); {
	case n < 126:
		b = append(b, byte(n))
	case n < 1<<16:
		b = append(b, 126, byte(n>>8), byte(n))
	default:
		b = append(b, 127, 0, 0, 0, 0, byte(n>>24), byte(n>>16), byte(n>>8), byte(n))
	}
	return string(b) + payload
}

// TestWirePassesOnEveryByte: what the library may see comes through as it was,
// however it is cut into reads, and what it may not see is left out.
func TestWirePassesOnEveryByte(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sent, want := upgraded, upgraded
		for range rapid.IntRange(0, 8).Draw(t, "frames") {
			kind := rapid.SampledFrom([]byte{1, 1, 1, 2, 9, 0}).Draw(t, "kind")
			size := rapid.SampledFrom([]int{0, 1, 125, 126, 1000, 1024, 1025, 40000, 70000}).Draw(t, "size")
			f := served(kind, strings.Repeat("x", size))
			sent, want = sent+f, want+f
			if rapid.Bool().Draw(t, "beat") {
				sent += served(frameText, `{"t":null,"s":null,"op":1,"d":null}`)
			}
			if rapid.Bool().Draw(t, "ack") {
				f := served(frameText, `{"t":null,"s":null,"op":11,"d":null}`)
				sent, want = sent+f, want+f
			}
		}
		var in io.Reader = strings.NewReader(sent)
		switch rapid.IntRange(0, 2).Draw(t, "cut") {
		case 1:
			in = iotest.OneByteReader(in)
		case 2:
			in = iotest.HalfReader(in)
		}
		got, err := io.ReadAll(newWire(&stream{Reader: in}, time.Second, &heartbeat{}))
		if err != nil || string(got) != want {
			t.Fatalf("%d bytes came through of %d, %v", len(got), len(want), err)
		}
	})
}

// TestWireEnds: each of these must not reach the library, and tells why the
// connection ends.
func TestWireEnds(t *testing.T) {
	for name, tt := range map[string]struct {
		frame string
		want  func(error) bool
	}{
		"asked to reconnect": {served(frameText, `{"op":7,"d":null,"s":null,"t":null}`), func(err error) bool { return errors.Is(err, errReconnect) }},
		"invalid":            {served(frameText, `{"op":9,"d":false}`), func(err error) bool { i, ok := errors.AsType[*invalidError](err); return ok && !i.resumable }},
		"invalid just now":   {served(frameText, `{"op":9,"d":true}`), func(err error) bool { i, ok := errors.AsType[*invalidError](err); return ok && i.resumable }},
		"closed": {served(frameClose, "\x0f\xaeDisallowed intent(s)."), func(err error) bool {
			c, ok := errors.AsType[*closeError](err)
			return ok && c.code == 4014 && c.text == "Disallowed intent(s)."
		}},
		"closed without a code": {served(frameClose, ""), func(err error) bool { c, ok := errors.AsType[*closeError](err); return ok && c.code == 1005 }},
		"the end":               {"", func(err error) bool { return errors.Is(err, io.EOF) }},
		"a frame without end":   {"\x82\x7f\x7f\xff\xff\xff\xff\xff\xff\xff", func(err error) bool { return errors.Is(err, errNoFrame) }},
		"half a frame":          {served(frameText, `{"op":11}`)[:5], func(err error) bool { return errors.Is(err, io.ErrUnexpectedEOF) }},
	} {
		w := newWire(&stream{Reader: strings.NewReader(upgraded + tt.frame)}, time.Second, &heartbeat{})
		got, err := io.ReadAll(w)
		if string(got) != upgraded {
			t.Errorf("%s: the library saw %q", name, got[len(upgraded):])
		}
		select {
		case <-w.closed:
			if !tt.want(w.why) {
				t.Errorf("%s: ended because %v", name, w.why)
			}
		default:
			t.Errorf("%s: it goes on, %v", name, err)
		}
	}
}

func TestWireLetsARefusalThrough(t *testing.T) {
	refusal := "HTTP/1.1 503 Service Unavailable\r\nContent-Length: 4\r\n\r\n\x88\x02no"
	got, err := io.ReadAll(newWire(&stream{Reader: strings.NewReader(refusal)}, time.Second, &heartbeat{}))
	if err != nil || string(got) != refusal {
		t.Errorf("%q, %v", got, err)
	}
}

func TestWireKeepsCloseCodesIn(t *testing.T) {
	to := &stream{Reader: strings.NewReader(upgraded)}
	w := newWire(to, time.Second, &heartbeat{})
	io.ReadAll(w)
	goodbye := []byte{0x88, 0x82, 0, 0, 0, 0, 0x03, 0xe8}
	if _, err := w.Write(goodbye); err == nil || to.out.Len() > 0 {
		t.Error("a close code went out, which ends a session that could be resumed")
	}
	if err := w.leave(); err != nil {
		t.Fatal(err)
	}
	f, err := frameOf(to.out.Bytes())
	if err != nil || f.kind != frameClose || string(payloadOf(f, to.out.Bytes())) != "\x03\xe8" {
		t.Errorf("our goodbye is %x, %v", to.out.Bytes(), err)
	}
}

// beat is a client's frame with a heartbeat.
func beat(t *testing.T) []byte {
	var b bytes.Buffer
	if err := writeFrame(&b, frameText, []byte(`{"op":1,"d":12}`)); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestWireCountsHeartbeats(t *testing.T) {
	to := &stream{Reader: strings.NewReader(upgraded + served(frameText, `{"op":11}`) + served(frameText, `{"op":1,"d":null}`))}
	h := &heartbeat{}
	w := newWire(to, time.Second, h)
	read := make([]byte, 4096)
	for !w.framed.Load() {
		w.Read(read)
	}
	if _, err := w.Write(beat(t)); err != nil {
		t.Fatal(err)
	}
	w.Read(read) // it is acknowledged
	if h.open || h.took() <= 0 {
		t.Error("the acknowledgement was not seen")
	}
	to.out.Reset()
	w.Read(read) // a heartbeat is asked for
	f, err := frameOf(to.out.Bytes())
	if err != nil || string(payloadOf(f, to.out.Bytes())) != `{"op":1,"d":12}` {
		t.Errorf("asked for a heartbeat, it sent %q", to.out.Bytes())
	}
	if _, err := w.Write(beat(t)); err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write(beat(t)); !errors.Is(err, errDeaf) || !errors.Is(w.why, io.EOF) && !errors.Is(w.why, errDeaf) {
		t.Errorf("a second heartbeat went out before the first was acknowledged: %v, %v", err, w.why)
	}
}
