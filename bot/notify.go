package main

import (
	"context"
	"net"
	"strconv"
	"time"

	"countwright/bot/chat"
	"countwright/store"
)

// supervised tells systemd, where that started the program as a unit of type
// notify (sd_notify(3)), when members are served, and goes on telling while
// the database answers. When that ends, systemd starts the program afresh.
func supervised(ctx context.Context, environment func(string) string, service *chat.Service, s *store.Store, overHTTP bool) {
	socket := environment("NOTIFY_SOCKET")
	if socket == "" {
		return
	}
	every := 5 * time.Second
	if micros, err := strconv.ParseInt(environment("WATCHDOG_USEC"), 10, 64); err == nil && micros > 0 {
		every = time.Duration(micros) * time.Microsecond / 3
	}
	ready, served := false, reached(service, overHTTP)
	tick := time.NewTicker(min(every, 100*time.Millisecond))
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			notify(socket, "STOPPING=1")
			return
		case <-tick.C:
		}
		if !ready {
			if _, ready = served(ctx); ready {
				notify(socket, "READY=1")
				tick.Reset(every)
			}
		}
		asking, cancel := context.WithTimeout(ctx, every)
		if _, well := answers(s)(asking); well {
			notify(socket, "WATCHDOG=1")
		}
		cancel()
	}
}

// notify sends a line of state. Nobody who listens is no reason to fail.
func notify(socket, state string) {
	if c, err := net.DialUnix("unixgram", nil, &net.UnixAddr{Name: socket, Net: "unixgram"}); err == nil {
		c.Write([]byte(state))
		c.Close()
	}
}
