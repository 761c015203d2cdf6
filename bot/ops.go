package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"sync/atomic"
	"time"

	"github.com/VictoriaMetrics/metrics"

	"countwright/bot/chat"
	"countwright/store"
)

// desk is where the operator and her machines ask how it goes: /healthz,
// /readyz and /metrics; and where the chat service may bring interactions. It
// speaks plain HTTP: what is to be reached from outside stands behind
// something that speaks TLS, and that leads no further than /interactions.
type desk struct {
	server   *http.Server
	listener net.Listener
	log      *slog.Logger
	stopping atomic.Bool
}

// attended serves with a desk open. At the end the desk closes first, so that
// nothing new comes in while the rest is answered.
func (a *App) attended(ctx context.Context, service *chat.Service, figures *metrics.Set) error {
	var interactions http.Handler
	if a.Config.HTTP.Interactions {
		interactions = service.Interactions()
	}
	checks := []check{reached(service, a.Config.HTTP.Interactions), answers(a.store)}
	d, err := openDesk(a.Config.HTTP.Address, figures, watch(figures, a.store), checks, interactions, a.Log)
	if err != nil {
		return err
	}
	a.Log.Info("listening", "address", d.listener.Addr().String())
	serving, stop := context.WithCancel(context.WithoutCancel(ctx))
	defer stop()
	closed := make(chan error, 1)
	context.AfterFunc(ctx, func() {
		d.stopping.Store(true)
		if interactions != nil {
			time.Sleep(unhurried)
		}
		closed <- d.close()
		stop()
	})
	go d.serve()
	err = service.Run(serving)
	if ctx.Err() == nil {
		return errors.Join(err, d.close())
	}
	return errors.Join(err, <-closed)
}

// unhurried is how long interactions are still taken over HTTP after /readyz
// said that it ends, so that whatever spreads them can turn elsewhere.
const unhurried = 2 * time.Second

// check is something that must be well before members can be served. It
// returns a line that says how it is, and whether it is well.
type check func(context.Context) (string, bool)

// openDesk listens on an address. Interactions may be nil.
func openDesk(address string, set *metrics.Set, refresh func(context.Context), checks []check, interactions http.Handler, log *slog.Logger) (*desk, error) {
	metrics.ExposeMetadata(true)
	listener, err := net.Listen("tcp", address)
	if err != nil {
		return nil, fmt.Errorf("listen on http.address %s: %w", address, err)
	}
	d := &desk{listener: listener, log: log}
	mux := http.NewServeMux()
	mux.HandleFunc("GET /healthz", func(w http.ResponseWriter, _ *http.Request) { fmt.Fprintln(w, "alive") })
	mux.HandleFunc("GET /readyz", readiness(append(checks, d.open)))
	mux.HandleFunc("GET /metrics", func(w http.ResponseWriter, r *http.Request) {
		ctx, cancel := context.WithTimeout(r.Context(), 3*time.Second)
		defer cancel()
		refresh(ctx)
		w.Header().Set("Content-Type", "text/plain; version=0.0.4; charset=utf-8")
		set.WritePrometheus(w)
		metrics.WriteProcessMetrics(w)
	})
	if interactions != nil {
		mux.Handle("POST /interactions", interactions)
	}
	d.server = &http.Server{
		Handler: mux, ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 10 * time.Second, WriteTimeout: 15 * time.Second,
		IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 16 << 10, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelDebug),
	}
	return d, nil
}

// open checks that it does not close.
func (d *desk) open(context.Context) (string, bool) {
	if d.stopping.Load() {
		return "process: it is about to end", false
	}
	return "process: goes on", true
}

func readiness(checks []check) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		ctx, cancel := context.WithTimeout(r.Context(), 3*time.Second)
		defer cancel()
		status := http.StatusOK
		var lines strings.Builder
		for _, c := range checks {
			line, well := c(ctx)
			if !well {
				status = http.StatusServiceUnavailable
			}
			fmt.Fprintln(&lines, line)
		}
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		w.WriteHeader(status)
		fmt.Fprint(w, lines.String())
	}
}

// serve serves until close.
func (d *desk) serve() {
	if err := d.server.Serve(d.listener); err != nil && !errors.Is(err, http.ErrServerClosed) {
		d.log.Error("the HTTP listener ended", "error", err)
	}
}

// close takes nothing new, and waits for what is being answered.
func (d *desk) close() error {
	ctx, cancel := context.WithTimeout(context.Background(), 25*time.Second)
	defer cancel()
	return d.server.Shutdown(ctx)
}

// answers checks that the database does, by a query that is quick however much
// is kept.
func answers(s *store.Store) check {
	return func(ctx context.Context) (string, bool) {
		due, oldest, err := s.PostBacklog(ctx)
		if err != nil {
			return "database: it does not answer: " + err.Error(), false
		}
		return fmt.Sprintf("database: answers, %d posts are due, the oldest for %s", due, oldest.Round(time.Second)), true
	}
}

// reached checks that members reach us: over each connection of this process,
// or over HTTP.
func reached(s *chat.Service, overHTTP bool) check {
	return func(context.Context) (string, bool) {
		if overHTTP {
			if !s.Prepared() {
				return "interactions: the commands are not registered yet", false
			}
			return "interactions: taken over HTTP", true
		}
		all := s.Connections()
		up := 0
		why := ""
		for _, c := range all {
			if c.Connected {
				up++
			} else if c.Why != nil {
				why = fmt.Sprintf("; shard %d for %s: %v", c.Shard, time.Since(c.Since).Round(time.Second), c.Why)
			}
		}
		return fmt.Sprintf("gateway: %d of %d connected%s", up, len(all), why), up > 0 && up == len(all)
	}
}

// watch adds what the store knows to the figures, -1 where it does not answer,
// and returns what brings them up to date.
func watch(set *metrics.Set, s *store.Store) (refresh func(context.Context)) {
	size := set.NewGauge("countwright_database_bytes", nil)
	due, oldest := set.NewGauge("countwright_posts_due", nil), set.NewGauge("countwright_posts_oldest_due_seconds", nil)
	writes, failed := set.NewCounter("countwright_database_writes_total"), set.NewCounter("countwright_database_writes_failed_total")
	commits := set.NewCounter("countwright_database_commits_total")
	return func(ctx context.Context) {
		st := s.Stats(ctx)
		size.Set(float64(st.Bytes))
		writes.Set(st.Writes)
		failed.Set(st.Failed)
		commits.Set(st.Commits)
		n, wait, err := s.PostBacklog(ctx)
		if err != nil {
			n, wait = -1, -time.Second
		}
		due.Set(float64(n))
		oldest.Set(wait.Seconds())
	}
}
