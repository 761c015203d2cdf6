package commands

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"countwright/calc/along"
	"countwright/calc/schedule"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// Post words a post that has fallen due, or says why it is better left out or
// when it can go. The same posting worded again comes out the same. An error
// is a fault of ours or of the storage, and the post is still to be sent.
func (s *Set) Post(ctx context.Context, p Posting) (Wording, error) {
	w := wording{Posting: foremost(p), Printer: p.MakeAlong.printer(), services: s.services, alongs: s.services.MakeAlongs}
	said, err := w.becomes(ctx)
	if err == nil && said.Reply != nil {
		r := s.finished(w.Printer, nil, *said.Reply)
		said.Reply = &r
	}
	return said, err
}

// becomes is what becomes of the post.
func (w wording) becomes(ctx context.Context) (Wording, error) {
	if why := w.pointless(); why != "" {
		return Wording{Skip: string(why)}, nil
	}
	if w.Kind == EventPost {
		return w.event(), nil
	}
	if later := w.MakeAlong.Course.Quiet.After(w.Now, w.MakeAlong.zone()); later.After(w.Now) {
		return Wording{Later: later}, nil
	}
	switch w.Kind {
	case HostNote:
		return w.hostNote(ctx)
	case WelcomePost:
		return w.said(w.welcome(), nil)
	case FarewellPost:
		return w.said(w.farewell(ctx))
	}
	if w.Asleep && !w.welcomes() {
		return w.asleep(ctx)
	}
	if w.Kind == MidwayPost {
		if w.HostWrote && !w.welcomes() {
			return Wording{Skip: "the host wrote in the channel herself"}, nil
		}
		return w.said(w.midway(), nil)
	}
	return w.said(w.checkIn(ctx))
}

// printer says texts in the language that the make-along speaks in its channel.
func (m MakeAlong) printer() words.Printer { return words.For(m.Course.Language) }

// wording is a posting while it is put in words.
type wording struct {
	Posting
	words.Printer
	services Services
	alongs   MakeAlongs
}

// stone is the milestone that the post belongs to.
func (w wording) stone() along.Milestone { return w.MakeAlong.Course.Milestones[w.Milestone] }

// said makes a reply a Wording.
func (w wording) said(r reply.Reply, err error) (Wording, error) {
	if err != nil {
		return Wording{}, err
	}
	return Wording{Reply: &r}, nil
}

// foremost lets a post that others were merged into speak for the latest
// milestone among all: a note halfway is of little use once that is there.
func foremost(p Posting) Posting {
	if p.Kind != MidwayPost {
		return p
	}
	for _, o := range p.Merged {
		if o.Kind == MilestonePost && (p.Kind == MidwayPost || o.Milestone > p.Milestone) {
			p.Kind, p.Milestone, p.Key = MilestonePost, o.Milestone, o.Key
		}
	}
	return p
}

// pointless says why a post has nothing to say any more; empty where it has.
func (w wording) pointless() words.Key {
	m := w.MakeAlong
	switch {
	case w.Kind == HostNote:
		return ""
	case m.State == AlongClosed && w.Kind != FarewellPost, m.State == AlongDraft:
		return "the make-along is not running"
	case m.State == AlongPaused, m.State == AlongBlocked:
		return "the make-along is resting"
	case w.Kind == WelcomePost, w.Kind == FarewellPost:
		return ""
	case w.Milestone < 0 || w.Milestone >= len(m.Course.Milestones):
		return "the milestone was taken out"
	case w.Kind == EventPost && !w.meets().After(w.Now):
		return "the milestone's date has come"
	}
	return ""
}

// meets is the moment at which the group meets at the milestone.
func (w wording) meets() time.Time {
	return schedule.At(w.stone().Date, w.MakeAlong.Course.At, w.MakeAlong.zone())
}

// welcomes reports whether the welcome is among what the post tells.
func (w wording) welcomes() bool {
	return slices.ContainsFunc(w.Merged, func(o Post) bool { return o.Kind == WelcomePost })
}

// asleep leaves a post out because nobody is there to read it. The hosts are
// told once in a stretch of such posts: where the milestone before this one
// was left out too, they know.
func (w wording) asleep(ctx context.Context) (Wording, error) {
	out := Wording{Skip: "nobody has been in the channel since the last two posts"}
	if w.Kind != MilestonePost {
		return out, nil
	}
	posts, err := w.alongs.Posts(ctx, w.Along)
	if err != nil {
		return Wording{}, fmt.Errorf("list posts: %w", err)
	}
	for _, o := range slices.Backward(posts) {
		if o.Kind != MilestonePost || o.Milestone >= w.Milestone || o.State == PostMerged {
			continue
		}
		if o.State == PostSkipped {
			return out, nil
		}
		break
	}
	out.Note = &Post{Along: w.Along, Key: "asleep/" + strconv.Itoa(w.Milestone), Kind: HostNote, Milestone: w.Milestone, Due: w.Now.UTC(), To: w.MakeAlong.Host}
	return out, nil
}

// mark is the option by which a post's message is found again.
func (w wording) mark(more map[string]string) map[string]string {
	all := map[string]string{"post": strconv.FormatInt(w.ID, 10)}
	for name, value := range more {
		all[name] = value
	}
	return all
}

// tap is a button by which a member says something at the milestone.
func (w wording) tap(label words.Key, say string) reply.Button {
	more := map[string]string{"say": say}
	if w.Milestone >= 0 {
		more["milestone"] = strconv.Itoa(w.Milestone + 1)
	}
	return w.MakeAlong.button(w.Say(label), "makealong answer", w.mark(more))
}

// opening is a host's own text where she wrote one for the post, and else ours.
func (w wording) opening(ours string) reply.Block {
	if own := strings.TrimSpace(w.MakeAlong.Course.Texts[w.Key]); own != "" {
		return reply.Text{Text: fillHostText(w.MakeAlong, w.Post, own)}
	}
	return reply.Text{Text: ours}
}

// choose takes one of several ways to say a thing: another for each milestone,
// and for each make-along another to begin with.
func (w wording) choose(ways []words.Key) words.Key {
	return ways[int((uint64(w.Along)*31+uint64(w.Milestone+1))%uint64(len(ways)))]
}
