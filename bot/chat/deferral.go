package chat

import (
	"context"
	"errors"
	"net/http"
	"sync"
	"time"

	"github.com/bwmarrin/discordgo"

	"countwright/commands/reply"
)

// manner is what must be known before a reply is there.
type manner struct {
	slow    bool          // say at once that it takes a while
	private bool          // whatever the reply says
	reopen  func() string // the command line that asks again, for a form that could not be shown
}

// deferral is the three-second rule as a value: it says that an answer takes a
// while, once, and then takes the answer to where that was said.
type deferral struct {
	service *Service
	ask     ask
	mu      sync.Mutex
	private bool // how the deferral is, or was, said: it can't be changed
	said    bool
	done    bool // answered, or on the way
	taken   bool // the deferral was withdrawn
}

// largeUpload is the size of files, in bytes, that might not go up within the
// three seconds.
const largeUpload = 1 << 20

// respond does the work and sends its reply, saying in time that it takes a
// while if it does.
func (s *Service) respond(a ask, how manner, work func(context.Context) reply.Reply) {
	ctx, cancel := context.WithTimeout(s.work, s.timing.work)
	defer cancel()
	log := s.log.With("reference", a.reference())
	d := &deferral{service: s, ask: a, private: how.private}
	if how.slow {
		d.say()
	} else {
		timer := time.AfterFunc(s.timing.deferAfter-time.Since(a.came), d.say)
		defer timer.Stop()
	}
	r := work(ctx)
	err := error(nil)
	if r.Form != nil {
		window, fits := formOf(*r.Form)
		switch {
		case !fits:
			err = &composeError{errors.New("the form is beyond the service's limits")}
		case d.show(window):
			s.measures.answered(r.Command, "form", time.Since(a.came))
			return
		}
		r = reply.Reply{Words: r.Words, Command: r.Command, Title: r.Form.Title, Private: r.Private,
			Parts:   []reply.Block{reply.Text{Text: r.Words.Say("There is a form to fill in: tap the button to open it.")}},
			Actions: []reply.Action{reply.Button{Label: r.Words.Say("Open the form"), Line: how.reopen()}}}
	}
	r.Private = r.Private || how.private
	if err == nil {
		err = d.deliver(r)
	}
	if err != nil && worthAnother(err) {
		log.Error("reply not taken", "command", r.Command, "error", err)
		err = d.deliver(reply.Refused(r.Words, "Something went wrong on my side, not yours: my answer could not be shown. Please tell your host."))
	}
	took := time.Since(a.came)
	if err != nil {
		s.measures.answered(r.Command, "unsent", took)
		log.Warn("reply not sent", "command", r.Command, "error", err)
		return
	}
	kind := outcomeOf(r)
	s.measures.answered(r.Command, kind, took)
	log.Debug("answered", "command", r.Command, "outcome", kind, "in", took)
}

// worthAnother reports whether another, simpler message may be taken: not when
// the interaction is gone.
func worthAnother(err error) bool {
	var made *composeError
	return errors.As(err, &made) || refused(err) && codeOf(err) != codeUnknownInteraction && restError(err).Response.StatusCode != http.StatusNotFound
}

const codeUnknownInteraction = 10062

// say tells the member that it takes a while.
func (d *deferral) say() {
	d.mu.Lock()
	defer d.mu.Unlock()
	if !d.done {
		d.sayOnce()
	}
}

func (d *deferral) sayOnce() {
	if d.said {
		return
	}
	data := any(nil)
	if d.private {
		data = struct {
			Flags int `json:"flags"`
		}{flagEphemeral}
	}
	if err := d.service.callback(d.ask, answerDeferred, data); err != nil {
		d.service.log.Warn("deferral not sent", "reference", d.ask.reference(), "error", err)
		return
	}
	d.said = true
}

// show opens a form, and reports false where the service takes none: after a
// deferral, and as the answer to a form.
func (d *deferral) show(window form) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.said || d.ask.Type == discordgo.InteractionModalSubmit {
		return false
	}
	d.done = true
	if err := d.service.callback(d.ask, answerForm, window); err != nil {
		d.service.log.Warn("form not sent", "reference", d.ask.reference(), "error", err)
	}
	return true
}

// composeError is a reply that can't be put in a message.
type composeError struct{ error }

// drawn puts a reply in a message. Those with pictures take turns, as many at
// once as there are processors: so the short ones need not wait for all that
// are being drawn.
func (s *Service) drawn(r reply.Reply, fileLimit int64) (message, error) {
	for _, p := range r.Parts {
		if _, ok := p.(reply.Picture); ok {
			s.turns <- struct{}{}
			defer func() { <-s.turns }()
			break
		}
	}
	return compose(r, fileLimit)
}

// deliver sends a reply to where the member waits for it.
func (d *deferral) deliver(r reply.Reply) error {
	m, err := d.service.drawn(r, d.ask.fileLimit)
	if err != nil {
		return &composeError{err}
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.done = true
	if !d.said && m.size() > largeUpload {
		d.private = d.private || r.Private
		d.sayOnce()
	}
	if r.Private {
		m.Flags |= flagEphemeral
	}
	switch {
	case !d.said:
		return d.service.callback(d.ask, answerMessage, m)
	case d.taken:
		return d.service.follow(d.ask, m)
	case r.Private && !d.private:
		// Everyone was told to wait, but the answer is for one.
		if err := d.service.withdraw(d.ask); err != nil {
			return err
		}
		d.taken = true
		return d.service.follow(d.ask, m)
	}
	return d.service.edit(d.ask, m)
}
