package chat

import (
	"bufio"
	"encoding/binary"
	"encoding/json"
	"errors"
	"io"
	"math/rand/v2"
)

// Frames of the WebSocket protocol (RFC 6455, section 5), as far as reading
// along needs them.

// Kinds of frame.
const (
	frameText  = 0x1
	frameClose = 0x8
)

// Bits of a frame's first two bytes.
const (
	frameFinal  = 0x80
	frameKind   = 0x0f
	frameMasked = 0x80
	frameLength = 0x7f
)

// frame is a frame's head.
type frame struct {
	kind   byte
	final  bool
	masked bool
	head   int   // bytes before the payload, the mask's key among them
	length int64 // bytes of the payload
}

// longestFrame is more than the service ever sends in one.
const longestFrame = 1 << 32

var errNoFrame = errors.New("these bytes are no frame")

// frameOf reads a frame's head from bytes that hold it whole.
func frameOf(b []byte) (frame, error) {
	if len(b) < 2 {
		return frame{}, errNoFrame
	}
	f := frame{kind: b[0] & frameKind, final: b[0]&frameFinal != 0, masked: b[1]&frameMasked != 0, head: headLength(b[1])}
	if len(b) < f.head {
		return frame{}, errNoFrame
	}
	switch n := b[1] & frameLength; n {
	case 126:
		f.length = int64(binary.BigEndian.Uint16(b[2:]))
	case 127:
		long := binary.BigEndian.Uint64(b[2:])
		if long > longestFrame {
			return frame{}, errNoFrame
		}
		f.length = int64(long)
	default:
		f.length = int64(n)
	}
	return f, nil
}

// headLength is the length of a head by its second byte.
func headLength(second byte) int {
	n := 2
	switch second & frameLength {
	case 126:
		n += 2
	case 127:
		n += 8
	}
	if second&frameMasked != 0 {
		n += 4
	}
	return n
}

// peekFrame reads the head of the next frame without taking it.
func peekFrame(in *bufio.Reader) (frame, error) {
	b, err := in.Peek(2)
	if err != nil {
		return frame{}, err
	}
	if b, err = in.Peek(headLength(b[1])); err != nil {
		return frame{}, err
	}
	return frameOf(b)
}

// payloadOf is what a frame of a client holds, with its mask taken off; nil
// where the bytes don't hold all of it.
func payloadOf(f frame, b []byte) []byte {
	if int64(len(b)) < int64(f.head)+f.length {
		return nil
	}
	payload := append([]byte(nil), b[f.head:int64(f.head)+f.length]...)
	if f.masked {
		mask(payload, b[f.head-4:f.head])
	}
	return payload
}

func mask(payload, key []byte) {
	for i := range payload {
		payload[i] ^= key[i%4]
	}
}

// writeFrame writes a short payload as a client does, in one piece, so that it
// can't mix with what others write.
func writeFrame(out io.Writer, kind byte, payload []byte) error {
	if len(payload) > 125 {
		return errNoFrame
	}
	b := []byte{frameFinal | kind, frameMasked | byte(len(payload))}
	b = binary.BigEndian.AppendUint32(b, rand.Uint32())
	b = append(b, payload...)
	mask(b[6:], b[2:6])
	_, err := out.Write(b)
	return err
}

// packet is a payload of the gateway, as far as reading along needs it.
type packet struct {
	Op   int             `json:"op"`
	Data json.RawMessage `json:"d"`
}

// Operations of the gateway.
const (
	opHeartbeat = 1
	opReconnect = 7
	opInvalid   = 9
	opAck       = 11
)
