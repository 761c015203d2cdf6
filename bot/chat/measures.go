package chat

import (
	"errors"
	"fmt"
	"strconv"
	"time"

	"github.com/VictoriaMetrics/metrics"

	"countwright/commands/reply"
)

// measures counts what an operator wants to know. Labels come from closed
// lists only (our commands, our outcomes, our shards), so that nobody from
// outside can make them many.
type measures struct{ set *metrics.Set }

// outcomeOf is how a reply went, in a word.
func outcomeOf(r reply.Reply) string {
	if r.Error == nil {
		return "answered"
	}
	return string(r.Error.Kind)
}

// latencies are the upper bounds of the histogram of answers, in seconds:
// around a tenth of a second, which is felt; a second, when it is deferred;
// three, which are too late.
var latencies = []float64{.005, .01, .025, .05, .1, .15, .25, .5, 1, 2.5, 3, 10, 60}

func (m measures) answered(command, outcome string, took time.Duration) {
	if command == "" {
		command = "none"
	}
	m.set.GetOrCreateCounter(fmt.Sprintf("countwright_answers_total{command=%q,outcome=%q}", command, outcome)).Inc()
	m.set.GetOrCreatePrometheusHistogramExt("countwright_answer_seconds", latencies).Update(took.Seconds())
}

// interaction counts one that came, by what was done with it.
func (m measures) interaction(result string) {
	m.set.GetOrCreateCounter(fmt.Sprintf("countwright_interactions_total{result=%q}", result)).Inc()
}

// connection counts a change of a shard's connection.
func (m measures) connection(shard int, connected bool, why error) {
	name := "countwright_gateway_disconnects_total"
	reason := reasonOf(why)
	if connected {
		name, reason = "countwright_gateway_connects_total", ""
	}
	labels := "{shard=" + strconv.Quote(strconv.Itoa(shard))
	if reason != "" {
		labels += ",reason=" + strconv.Quote(reason)
	}
	m.set.GetOrCreateCounter(name + labels + "}").Inc()
}

// reasonOf is a short word for what ended a connection.
func reasonOf(err error) string {
	var closed *closeError
	var invalid *invalidError
	switch {
	case err == nil:
		return "done"
	case errors.As(err, &closed):
		if closed.code < 1000 || closed.code > 4999 {
			return "code"
		}
		return "code " + strconv.Itoa(closed.code)
	case errors.As(err, &invalid):
		return "invalid session"
	case errors.Is(err, errReconnect):
		return "asked to"
	case errors.Is(err, errDeaf):
		return "not acknowledged"
	case errors.Is(err, errStuck):
		return "stuck"
	}
	return "lost"
}

// observe adds the gauges that are read when somebody asks for them.
func (s *Service) observe() {
	set := s.measures.set
	set.NewGauge("countwright_answering", func() float64 { return float64(len(s.slots)) })
	set.NewGauge("countwright_answering_limit", func() float64 { return float64(cap(s.slots)) })
	set.NewGauge("countwright_queue_waiting", func() float64 { waiting, _ := s.queue.standing(); return float64(waiting) })
	set.NewGauge("countwright_queue_flying", func() float64 { _, flying := s.queue.standing(); return float64(flying) })
	set.NewGauge("countwright_queue_paused_seconds", func() float64 { return s.queue.ready().Seconds() })
	set.NewGauge("countwright_requests_refused", func() float64 { return float64(s.meter.refused()) })
	set.NewGauge("countwright_clock_ahead_seconds", func() float64 {
		ahead, _ := s.meter.ahead()
		return ahead.Seconds()
	})
}

// standing is how many requests wait in the queue, and how many are under way.
func (q *queue) standing() (waiting, flying int) {
	q.mu.Lock()
	defer q.mu.Unlock()
	for _, b := range q.buckets {
		waiting += b.waiting
	}
	return waiting, q.flying
}

// observe adds a shard's gauges.
func (h *shard) observe() {
	set := h.service.measures.set
	label := fmt.Sprintf("{shard=\"%d\"}", h.number)
	set.NewGauge("countwright_gateway_connected"+label, func() float64 {
		if h.standing().Connected {
			return 1
		}
		return 0
	})
	set.NewGauge("countwright_gateway_heartbeat_seconds"+label, func() float64 { return h.standing().Latency.Seconds() })
}
