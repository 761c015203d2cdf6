package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"
	"unicode/utf8"

	"countwright/commands"
	"countwright/store"
)

// makeAlongs are what groups make together, as the commands see it.
type makeAlongs struct{ store *store.Store }

func (a makeAlongs) Make(ctx context.Context, call, member string, m commands.MakeAlong) (commands.MakeAlong, error) {
	row, err := alongRow(m)
	if err != nil {
		return commands.MakeAlong{}, err
	}
	made, err := a.store.AddMakeAlong(ctx, store.By{Member: member, Key: call}, row)
	return alongSaved(made, err)
}

func (a makeAlongs) Save(ctx context.Context, call, member string, m commands.MakeAlong, posts []commands.Post) (commands.MakeAlong, error) {
	row, err := alongRow(m)
	if err != nil {
		return commands.MakeAlong{}, err
	}
	rows := make([]store.Post, len(posts))
	for i, p := range posts {
		rows[i] = postRow(p)
	}
	saved, err := a.store.SaveMakeAlong(ctx, store.By{Member: member, Key: call}, row, rows)
	return alongSaved(saved, err)
}

// alongSaved is a make-along as it was kept, or why it was not.
func alongSaved(row store.MakeAlong, err error) (commands.MakeAlong, error) {
	switch {
	case err == nil:
		return makeAlongOf(row)
	case errors.Is(err, store.ErrStale), errors.Is(err, store.ErrNotFound):
		return commands.MakeAlong{}, commands.ErrChanged
	case errors.Is(err, store.ErrConflict):
		return commands.MakeAlong{}, commands.ErrNamed
	}
	return commands.MakeAlong{}, roomy(err)
}

// roomy is kindly for what a server or a make-along holds.
func roomy(err error) error {
	if errors.Is(err, store.ErrLimit) {
		return commands.Refused("There is no room for one more: a server keeps %d make-alongs, one takes %d members and %d pictures of each, and a member takes part in %d.",
			store.MaxMakeAlongs, store.MaxParty, store.MaxPictures, store.MaxJoined)
	}
	return kindly(err)
}

func (a makeAlongs) Along(ctx context.Context, id int64) (commands.MakeAlong, bool, error) {
	row, err := a.store.MakeAlong(ctx, id)
	if errors.Is(err, store.ErrNotFound) {
		return commands.MakeAlong{}, false, nil
	}
	if err != nil {
		return commands.MakeAlong{}, false, fmt.Errorf("read make-along: %w", err)
	}
	m, err := makeAlongOf(row)
	return m, err == nil, err
}

func (a makeAlongs) List(ctx context.Context, server string) ([]commands.MakeAlong, error) {
	rows, err := a.store.MakeAlongs(ctx, server)
	return each(rows, err, makeAlongOf)
}

func (a makeAlongs) Posts(ctx context.Context, id int64) ([]commands.Post, error) {
	rows, err := a.store.MakeAlongPosts(ctx, id)
	return each(rows, err, func(p store.Post) (commands.Post, error) { return post(p), nil })
}

func (a makeAlongs) Party(ctx context.Context, id int64) ([]commands.Participant, error) {
	rows, err := a.store.Party(ctx, id)
	return each(rows, err, participant)
}

func (a makeAlongs) Joined(ctx context.Context, member string) ([]commands.Participant, error) {
	rows, err := a.store.Joined(ctx, member)
	return each(rows, err, participant)
}

func (a makeAlongs) Join(ctx context.Context, call string, p commands.Participant) error {
	targets, err := json.Marshal(p.Targets)
	if err != nil {
		return fmt.Errorf("write targets: %w", err)
	}
	if p.State == "" {
		p.State = commands.TakingPart
	}
	measured, err := json.Marshal(p.Measured)
	if err != nil {
		return fmt.Errorf("write what was measured: %w", err)
	}
	_, err = a.store.JoinMakeAlong(ctx, store.By{Member: p.Member, Key: call}, store.Participant{
		Along: p.Along, Name: p.Name, Project: p.Project, Size: p.Size, Gauge: p.Gauge, Seat: p.Seat, Shift: p.Shift, State: string(p.State),
		Pings: p.Pings, Quiet: p.Quiet, Targets: targets, TargetsVersion: p.Version, Measured: measured, Remarks: p.Remarks,
	})
	if errors.Is(err, store.ErrConflict) {
		return commands.ErrTaken
	}
	return roomy(err)
}

func (a makeAlongs) Retarget(ctx context.Context, id int64, parts []commands.Participant) error {
	rows := make([]store.Participant, len(parts))
	for i, p := range parts {
		targets, err := json.Marshal(p.Targets)
		if err != nil {
			return fmt.Errorf("write targets: %w", err)
		}
		rows[i] = store.Participant{Member: p.Member, Project: p.Project, Targets: targets, TargetsVersion: p.Version}
	}
	return kindly(a.store.KeepTargets(ctx, id, rows))
}

func (a makeAlongs) Leave(ctx context.Context, call, member string, id int64) error {
	_, err := a.store.LeaveMakeAlong(ctx, store.By{Member: member, Key: call}, id)
	if errors.Is(err, store.ErrNotFound) { // she has left
		return nil
	}
	return roomy(err)
}

func (a makeAlongs) Answer(ctx context.Context, call string, said commands.Answer) error {
	_, err := a.store.SaveAnswer(ctx, store.By{Member: said.Member, Key: call},
		store.Answer{Along: said.Along, Milestone: said.Milestone, Name: said.Name, Say: said.Say, Place: said.Place, Words: said.Words})
	return roomy(err)
}

func (a makeAlongs) Answers(ctx context.Context, id int64, milestone int) ([]commands.Answer, error) {
	rows, err := a.store.Answers(ctx, id, milestone)
	return each(rows, err, func(r store.Answer) (commands.Answer, error) { return commands.Answer(r), nil })
}

func (a makeAlongs) Share(ctx context.Context, call string, s commands.Shared) error {
	_, err := a.store.SharePicture(ctx, store.By{Member: s.Member, Key: call}, store.Picture{Along: s.Along, Name: s.Name, Text: s.Text, Place: s.Where})
	return roomy(err)
}

func (a makeAlongs) Gallery(ctx context.Context, id int64) ([]commands.Shared, error) {
	rows, err := a.store.Pictures(ctx, id)
	return each(rows, err, func(p store.Picture) (commands.Shared, error) {
		return commands.Shared{Along: p.Along, Member: p.Member, Name: p.Name, Text: p.Text, Where: p.Place, At: p.At}, nil
	})
}

func (a makeAlongs) TakePings(ctx context.Context, post int64, members []string) ([]string, error) {
	return a.store.TakePings(ctx, post, members)
}

// posting is a taken post as it is handed over to be worded.
func posting(taken store.TakenPost, now time.Time) (commands.Posting, error) {
	m, err := makeAlongOf(taken.MakeAlong)
	if err != nil {
		return commands.Posting{}, err
	}
	p := commands.Posting{Post: post(taken.Post), MakeAlong: m, Now: now}
	for _, merged := range taken.Merged {
		p.Merged = append(p.Merged, post(merged))
	}
	return p, nil
}

// each turns the rows of a list into what the commands know.
func each[R, T any](rows []R, err error, turn func(R) (T, error)) ([]T, error) {
	if err != nil {
		return nil, err
	}
	list := make([]T, len(rows))
	for i, row := range rows {
		if list[i], err = turn(row); err != nil {
			return nil, err
		}
	}
	return list, nil
}

func alongRow(m commands.MakeAlong) (store.MakeAlong, error) {
	course, err := json.Marshal(m.Course)
	if err != nil {
		return store.MakeAlong{}, fmt.Errorf("write course: %w", err)
	}
	if utf8.RuneCount(course) > store.MaxCourse {
		return store.MakeAlong{}, commands.Refused("That is more than can be kept of one make-along. It fits with fewer milestones, or shorter texts.")
	}
	return store.MakeAlong{ID: m.ID, Version: m.Version, Server: m.Server, Channel: m.Channel, Name: m.Name, State: string(m.State), Host: m.Host, Course: course}, nil
}

func makeAlongOf(row store.MakeAlong) (commands.MakeAlong, error) {
	m := commands.MakeAlong{ID: row.ID, Version: row.Version, Server: row.Server, Channel: row.Channel, Name: row.Name,
		State: commands.MakeAlongState(row.State), Host: row.Host, Made: row.MadeAt, Changed: row.ChangedAt}
	if err := json.Unmarshal(row.Course, &m.Course); err != nil {
		return commands.MakeAlong{}, fmt.Errorf("read course of make-along %d: %w", row.ID, err)
	}
	return m, nil
}

// postRow is a post as it is planned.
func postRow(p commands.Post) store.Post {
	return store.Post{Key: p.Key, Kind: string(p.Kind), Milestone: p.Milestone, Due: p.Due, Recipient: p.To, Text: p.Text}
}

func post(p store.Post) commands.Post {
	return commands.Post{ID: p.ID, Along: p.Along, Key: p.Key, Kind: commands.PostKind(p.Kind), Milestone: p.Milestone, Due: p.Due,
		State: commands.PostState(p.State), To: p.Recipient, Text: p.Text, Message: p.Message}
}

func participant(row store.Participant) (commands.Participant, error) {
	p := commands.Participant{Along: row.Along, Member: row.Member, Name: row.Name, Joined: row.JoinedAt, Project: row.Project,
		Size: row.Size, Gauge: row.Gauge, Seat: row.Seat, Shift: row.Shift, State: commands.ParticipantState(row.State),
		Pings: row.Pings, Quiet: row.Quiet, Version: row.TargetsVersion, Remarks: row.Remarks,
		Zone: row.Zone, Lengths: row.Lengths, Done: row.Done, Work: commands.ProjectState(row.Work), Counted: row.CountedAt}
	if err := json.Unmarshal(row.Targets, &p.Targets); err != nil {
		return commands.Participant{}, fmt.Errorf("read targets: %w", err)
	}
	if err := json.Unmarshal(row.Measured, &p.Measured); err != nil {
		return commands.Participant{}, fmt.Errorf("read what was measured: %w", err)
	}
	return p, nil
}
