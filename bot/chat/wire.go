package chat

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"net"
	"sync"
	"sync/atomic"
	"time"
)

// wire is a connection to the gateway that reads along under the library, and
// keeps from it what the library handles wrongly (v0.29.0):
//
//   - A service that says nothing: the library reads without a deadline, and
//     would wait for its greeting for ever, with the session's lock held.
//   - A heartbeat that is not acknowledged: it notices after five intervals.
//   - A request to connect again (7): as the first packet after resuming it
//     locks the library up for ever.
//   - An invalid session (9): it identifies at once, without the pause that is
//     asked for, on the same connection, and whether or not the session can be
//     resumed.
//   - A request for a heartbeat (1): it writes to what may be gone by then.
//   - A close code: it keeps it to itself.
//   - Closing with code 1000, which ends a session that could be resumed.
//
// All of these end the wire instead, and why tells serve what to do next.
type wire struct {
	net.Conn
	in      *bufio.Reader
	silence atomic.Int64 // nanoseconds without a byte after which it is dead
	beat    *heartbeat
	once    sync.Once
	closed  chan struct{}
	why     error       // valid when closed is closed
	framed  atomic.Bool // the upgrade is done: frames go both ways

	ready []byte // read and looked at, for the library
	pass  int64  // bytes of a long frame that are passed on unseen
}

// longestSeen is the size of packets that are looked at. Those that matter
// have some 50 bytes; events are mostly longer, and are spared the work.
const longestSeen = 1024

func newWire(c net.Conn, silence time.Duration, beat *heartbeat) *wire {
	w := &wire{Conn: c, in: bufio.NewReaderSize(c, 16<<10), beat: beat, closed: make(chan struct{})}
	w.silence.Store(int64(silence))
	return w
}

// Ends of a wire that the service asked for, and that we noticed.
var (
	errReconnect = errors.New("the service asked to connect again")
	errDeaf      = errors.New("a heartbeat was not acknowledged")
	errLeft      = errors.New("the connection was closed here")
)

// closeError is the service's word of farewell.
type closeError struct {
	code int
	text string
}

func (e *closeError) Error() string {
	return fmt.Sprintf("the service closed the connection: %d %s", e.code, e.text)
}

// invalidError says that the session is not valid.
type invalidError struct{ resumable bool }

func (e *invalidError) Error() string {
	if e.resumable {
		return "the session is not valid just now"
	}
	return "the session is no longer valid"
}

// Read gives the library what it may see.
func (w *wire) Read(p []byte) (int, error) {
	for len(w.ready) == 0 && w.pass == 0 {
		if err := w.next(); err != nil {
			w.end(err)
			return 0, err
		}
	}
	if len(w.ready) > 0 {
		n := copy(p, w.ready)
		w.ready = w.ready[n:]
		return n, nil
	}
	if err := w.listen(); err != nil {
		return 0, err
	}
	n, err := w.in.Read(p[:min(int64(len(p)), w.pass)])
	w.pass -= int64(n)
	if err != nil {
		w.end(err)
	}
	return n, err
}

func (w *wire) listen() error {
	return w.SetReadDeadline(time.Now().Add(time.Duration(w.silence.Load())))
}

// next reads up to the end of the next frame, or to the payload of a long one.
func (w *wire) next() error {
	if err := w.listen(); err != nil {
		return err
	}
	if !w.framed.Load() {
		return w.greeted()
	}
	f, err := peekFrame(w.in)
	if err != nil {
		return err
	}
	seen := f.final && !f.masked && f.length <= longestSeen && (f.kind == frameText || f.kind == frameClose)
	if !seen {
		w.pass = int64(f.head) + f.length
		return nil
	}
	whole := make([]byte, int64(f.head)+f.length)
	if _, err := io.ReadFull(w.in, whole); err != nil {
		return err
	}
	payload := whole[f.head:]
	if f.kind == frameClose {
		return farewellOf(payload)
	}
	keep, err := w.look(payload)
	if keep {
		w.ready = whole
	}
	return err
}

// greeted reads the answer to the upgrade, line by line.
func (w *wire) greeted() error {
	line, err := w.in.ReadSlice('\n')
	if err != nil {
		return err
	}
	w.ready = append([]byte(nil), line...)
	switch {
	case bytes.HasPrefix(line, []byte("HTTP/1.1 ")) && !bytes.HasPrefix(line, []byte("HTTP/1.1 101")):
		w.pass = math.MaxInt64 // a refusal, which is no frame
	case len(bytes.TrimSpace(line)) == 0:
		w.framed.Store(true)
	}
	return nil
}

func farewellOf(payload []byte) error {
	e := &closeError{code: 1005} // RFC 6455, 7.1.5: no code was given
	if len(payload) >= 2 {
		e.code, e.text = int(binary.BigEndian.Uint16(payload)), string(payload[2:])
	}
	return e
}

// look reports whether the library may have a packet, or why the wire ends.
func (w *wire) look(payload []byte) (keep bool, err error) {
	var p packet
	if json.Unmarshal(payload, &p) != nil {
		return true, nil
	}
	switch p.Op {
	case opHeartbeat:
		return false, w.beat.asked(w.Conn)
	case opReconnect:
		return false, errReconnect
	case opInvalid:
		return false, &invalidError{resumable: string(bytes.TrimSpace(p.Data)) == "true"}
	case opAck:
		w.beat.heard()
	}
	return true, nil
}

// leave says goodbye, with the code that ends the session. What the service
// sent before it heard that still comes in, until it closes the connection; the
// library's own goodbye would drop it.
func (w *wire) leave() error {
	return writeFrame(w.Conn, frameClose, binary.BigEndian.AppendUint16(nil, 1000))
}

// Write sends what the library writes, but no close code: both that it uses
// end the session.
func (w *wire) Write(p []byte) (int, error) {
	if w.framed.Load() {
		f, err := frameOf(p)
		if err == nil && f.kind == frameClose {
			return 0, net.ErrClosed
		}
		if err == nil && f.kind == frameText && f.length <= longestSeen {
			var out packet
			if json.Unmarshal(payloadOf(f, p), &out) == nil && out.Op == opHeartbeat && !w.beat.sent(out.Data) {
				w.end(errDeaf)
				return 0, errDeaf
			}
		}
	}
	return w.Conn.Write(p)
}

// Close ends the connection.
func (w *wire) Close() error {
	w.end(errLeft)
	return nil
}

// end ends the connection, for the first reason that is given.
func (w *wire) end(why error) {
	w.once.Do(func() {
		w.why = why
		w.Conn.Close()
		close(w.closed)
	})
}

// heartbeat is what a shard knows of its own.
type heartbeat struct {
	mu       sync.Mutex
	at       time.Time // when the last one was sent
	open     bool      // it is not acknowledged yet
	sequence json.RawMessage
	latency  time.Duration // of the last one that was acknowledged
}

// fresh begins anew with a new connection.
func (h *heartbeat) fresh() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.open = false
}

// sent notes a heartbeat, and reports false when the one before was not heard.
func (h *heartbeat) sent(sequence json.RawMessage) bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.open {
		return false
	}
	h.at, h.open, h.sequence = time.Now(), true, sequence
	return true
}

func (h *heartbeat) heard() {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.open {
		h.open, h.latency = false, time.Since(h.at)
	}
}

// asked answers a request for a heartbeat with the last sequence number sent.
func (h *heartbeat) asked(out io.Writer) error {
	h.mu.Lock()
	sequence := h.sequence
	h.mu.Unlock()
	if sequence == nil {
		sequence = json.RawMessage("null")
	}
	return writeFrame(out, frameText, []byte(`{"op":1,"d":`+string(sequence)+`}`))
}

// took is how long the last heartbeat took to be acknowledged; 0: none was yet.
func (h *heartbeat) took() time.Duration {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.latency
}
