package main

import (
	"context"
	"errors"
	"strings"
	"time"

	"countwright/bot/chat"
	"countwright/commands"
	"countwright/store"
)

// counted counts what became of a post, for those who run the bot.
func (c *checkIns) counted(outcome string) {
	if c.count != nil {
		c.count(outcome)
	}
}

func (c *checkIns) sent(message string) ending {
	at := c.now()
	return func(ctx context.Context, who string, post int64) error {
		return c.outbox.SentPost(ctx, who, post, message, at)
	}
}

// putOff gives a post back for a while. tried says that it may have arrived.
func (c *checkIns) putOff(by time.Duration, tried bool) ending {
	until := c.now().Add(by)
	return func(ctx context.Context, who string, post int64) error {
		return c.outbox.PutOff(ctx, who, post, until, tried)
	}
}

// skip leaves a post out, and plans the note to hosts that takes its place.
func (c *checkIns) skip(w commands.Wording) ending {
	var instead []store.Post
	if w.Note != nil {
		instead = append(instead, postRow(*w.Note))
	}
	return c.leftOut(w.Skip, instead...)
}

func (c *checkIns) leftOut(why string, instead ...store.Post) ending {
	why = strings.ToValidUTF8(why[:min(len(why), 200)], "")
	return func(ctx context.Context, who string, post int64) error {
		return c.outbox.SkipPost(ctx, who, post, why, instead...)
	}
}

// failed is what comes of a post that could not be sent, or not be looked for.
func (c *checkIns) failed(t store.TakenPost, p commands.Posting, err error) ending {
	log := c.log.With("post", t.ID, "make-along", t.Along, "error", err)
	var put *chat.Later
	switch {
	case errors.Is(err, chat.ErrGone):
		if p.Kind == commands.HostNote || p.Kind == commands.EventPost {
			c.counted("gone")
			log.Info("post left out: its place can't be written to", "kind", p.Kind)
			return c.leftOut("its place can't be written to")
		}
		c.counted("blocked")
		log.Info("make-along blocked: its channel can't be written to")
		return func(ctx context.Context, who string, post int64) error {
			return c.outbox.BlockMakeAlong(ctx, who, post, err.Error(), blockedNote)
		}
	case errors.As(err, &put):
		c.counted("later")
		log.Debug("post put off")
		return c.putOff(max(put.After, time.Minute), false)
	case errors.Is(err, chat.ErrUnsure):
		c.counted("unsure")
		log.Warn("post may have arrived; looking for it later")
		return c.putOff(c.patience(t), true)
	case errors.Is(err, chat.ErrRefused):
		c.counted("refused")
		log.Error("post refused")
		return c.leftOut("the service does not take it")
	}
	return c.fault(t, err, false)
}

// blockedNote is what the host is told besides that nothing can be posted.
const blockedNote = "the channel was deleted, it is hidden from me, I may not send messages there, or I was removed from the server"

// longOverdue is when a post that can't be put in words is given up.
const longOverdue = 48 * time.Hour

// fault is a fault of ours or of the storage: another time it may go. tried says
// that the post may have arrived.
func (c *checkIns) fault(t store.TakenPost, err error, tried bool) ending {
	c.counted("fault")
	c.log.Error("post not put in words", "post", t.ID, "make-along", t.Along, "error", err)
	if c.now().Sub(t.Due) > longOverdue {
		return c.leftOut("it could not be put in words")
	}
	return c.putOff(c.patience(t), tried)
}

// patience is how long to wait before another try: the longer a post is late,
// the longer.
func (c *checkIns) patience(t store.TakenPost) time.Duration {
	return min(max(c.now().Sub(t.Due)/4, time.Minute), 30*time.Minute)
}
