package commands

import (
	"context"
	"fmt"
	"time"

	"countwright/calc/schedule"
)

// mostPinged is how many members one message of the service can ping.
const mostPinged = 100

// night is when a member is pinged by nothing, where she is. Common practice,
// no source.
var night = schedule.Quiet{From: 22 * 60, To: 8 * 60}

// pings are the members whom a milestone's post may ping: those who asked for
// it, for whom a milestone has come since the group's last one, and who were
// not pinged within the week.
func (w wording) pings(ctx context.Context) ([]string, error) {
	party, err := w.alongs.Party(ctx, w.Along)
	if err != nil {
		return nil, fmt.Errorf("list who takes part: %w", err)
	}
	var asked []string
	for _, p := range party {
		if w.mayPing(p) {
			asked = append(asked, p.Member)
		}
	}
	var taken []string
	for len(asked) > 0 && len(taken) < mostPinged {
		n := min(len(asked), mostPinged-len(taken))
		may, err := w.alongs.TakePings(ctx, w.ID, asked[:n])
		if err != nil {
			return nil, fmt.Errorf("take pings: %w", err)
		}
		taken, asked = append(taken, may...), asked[n:]
	}
	return taken, nil
}

// mayPing reports whether a member wants to be pinged by this post now. A
// project that was put down reminds nobody.
func (w wording) mayPing(p Participant) bool {
	if !p.Pings || p.Quiet || p.State == Resting || p.Work == Paused || p.Work == Finished {
		return false
	}
	zone := w.MakeAlong.zone()
	if own, err := time.LoadLocation(p.Zone); err == nil && p.Zone != "" {
		zone = own
	}
	return !night.After(w.Now, zone).After(w.Now) && w.reaches(p.Shift)
}

// reaches reports whether one of the milestones up to this one has its date,
// so many days later, between the group's last milestone and today. So a
// member whose calendar is later is pinged when her own date has come.
func (w wording) reaches(shift int) bool {
	stones, today := w.MakeAlong.Course.Milestones, w.MakeAlong.today(w.Now)
	first := w.Milestone
	for _, o := range w.Merged {
		if o.Kind == MilestonePost && o.Milestone >= 0 {
			first = min(first, o.Milestone)
		}
	}
	since := w.MakeAlong.Course.Start.Add(-1)
	if first > 0 {
		since = stones[first-1].Date
	}
	for _, stone := range stones[:w.Milestone+1] {
		own := stone.Date.Add(shift)
		if own.Since(since) > 0 && today.Since(own) >= 0 {
			return true
		}
	}
	return false
}
