package chat

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"time"

	"github.com/bwmarrin/discordgo"
)

// prepare checks the token and registers the commands. A service in trouble is
// no reason not to serve what is registered already; a refusal is.
func (s *Service) prepare(ctx context.Context) error {
	body, err := s.rest(ctx, http.MethodGet, discordgo.EndpointAPI+"applications/@me", nil)
	if err != nil {
		return explain("ask who this bot is", err)
	}
	var me struct {
		ID string `json:"id"`
	}
	if err := json.Unmarshal(body, &me); err != nil || me.ID == "" {
		return errors.New("ask who this bot is: the answer can't be read")
	}
	if err := s.register(ctx, me.ID); err != nil {
		if refused(err) {
			return explain("register commands", err)
		}
		s.log.Warn("commands not registered; serving those that are", "error", err)
	}
	return nil
}

// serve keeps a connection until ctx ends or the service forbids it.
func (s *Service) serve(ctx context.Context) error {
	var d *discordgo.Session // what can be resumed; nil: a new session is needed
	again := false           // d was connected before
	wait := s.timing.firstRetry
	for ctx.Err() == nil {
		if d == nil {
			if err := s.budget(ctx); err != nil {
				return err
			}
			var err error
			if d, err = s.newSession(); err != nil {
				return err
			}
			again = false
		}
		c, err := s.open(ctx, d, again)
		again = true
		if err == nil {
			s.log.Info("connected")
			started := time.Now()
			err = s.hold(ctx, d, c)
			if ctx.Err() != nil {
				return nil
			}
			if time.Since(started) > time.Minute {
				wait = s.timing.firstRetry
			}
		}
		if ctx.Err() != nil {
			break
		}
		if advice, ok := fatal[closeCode(err)]; ok {
			return fmt.Errorf("%s (close code %d)", advice, closeCode(err))
		}
		switch code := closeCode(err); {
		case code == 4003, code == 4007, code == 4009, errors.Is(err, errStuck):
			d = nil
		}
		s.log.Warn("disconnected; connecting again", "error", err, "in", wait)
		pause(ctx, wait/2+rand.N(wait/2+1))
		wait = min(2*wait, s.timing.longestRetry)
	}
	return nil
}

// open connects d, again if it was connected before, or gives it up as stuck.
func (s *Service) open(ctx context.Context, d *discordgo.Session, again bool) (*conn, error) {
	dialer, made := s.dialer()
	d.Dialer = dialer
	done := make(chan error, 1)
	go func() {
		if again {
			settle(d)
		}
		done <- d.Open()
	}()
	timeout := time.NewTimer(s.timing.open)
	defer timeout.Stop()
	select {
	case err := <-done:
		if err != nil {
			return nil, err
		}
		return <-made, nil
	case <-timeout.C:
	case <-ctx.Done():
	}
	select {
	case c := <-made:
		c.Close()
	default:
	}
	return nil, errStuck
}

// hold waits while d is connected. When ctx ends, it disconnects properly.
func (s *Service) hold(ctx context.Context, d *discordgo.Session, c *conn) error {
	stop := make(chan struct{})
	defer close(stop)
	select {
	case <-c.closed:
		return errors.New("the connection ended")
	case <-s.stuck(d, stop):
		c.Close()
		return errStuck
	case <-ctx.Done():
	}
	go d.Close() // says goodbye; a second later it closes
	select {
	case <-c.closed:
	case <-time.After(s.timing.farewell):
		c.Close()
	}
	return nil
}

// drain waits until what is in flight is answered. What takes too long is told
// to stop, and says so.
func (s *Service) drain() {
	timeout := time.AfterFunc(s.timing.drain, s.giveUp)
	defer timeout.Stop()
	late := time.NewTimer(s.timing.drain + 2*s.timing.callback)
	defer late.Stop()
	for range cap(s.slots) {
		select {
		case s.slots <- struct{}{}:
		case <-late.C:
			s.log.Warn("stopped before all was answered")
			return
		}
	}
}

// leastStarts of a day's new sessions are kept for the operator: when they are
// used up, the service resets the token.
const leastStarts = 20

// budget refuses to begin a new session when few are left for the day.
func (s *Service) budget(ctx context.Context) error {
	body, err := s.rest(ctx, http.MethodGet, discordgo.EndpointGatewayBot, nil)
	if err != nil {
		if refused(err) {
			return explain("ask for the gateway", err)
		}
		return nil // opening will tell
	}
	var answer struct {
		Limit struct {
			Remaining *int  `json:"remaining"`
			ResetMS   int64 `json:"reset_after"`
		} `json:"session_start_limit"`
	}
	if json.Unmarshal(body, &answer) != nil || answer.Limit.Remaining == nil || *answer.Limit.Remaining >= leastStarts {
		return nil
	}
	return fmt.Errorf("only %d of today's connections are left; start again in %s, and find out why it reconnected so often",
		*answer.Limit.Remaining, (time.Duration(answer.Limit.ResetMS) * time.Millisecond).Round(time.Minute))
}

func pause(ctx context.Context, d time.Duration) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
	case <-ctx.Done():
	}
}
