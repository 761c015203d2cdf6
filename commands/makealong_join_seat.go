package commands

import (
	"context"
	"fmt"
	"strings"

	"countwright/commands/words"
)

// takeSeat finds the size that a tester is to have. Outside a tester call there
// are no seats.
func (j *entrant) takeSeat(ctx context.Context) error {
	c := j.m.Course
	if !c.Tester || len(c.Sizes) == 0 {
		return nil
	}
	if err := j.onlySize(); err != nil {
		return err
	}
	free, err := j.free(ctx)
	if err != nil {
		return err
	}
	if !j.size.Given(j.r) {
		if j.seat = j.part.Seat; j.seat != "" {
			return nil
		}
		if len(free) == 0 {
			return j.noneFree()
		}
		return &Mistake{Option: "size", Message: "each size has one tester; say which you make. Free: %s", Args: []any{listed(free, 20)}, Example: "size:" + quoted(free[0])}
	}
	seat, ok := seatNamed(c.Sizes, j.size.Of(j.r))
	if !ok {
		return &Mistake{Option: "size", Message: "“%s” is none of the sizes to be tested: %s", Args: []any{clip(j.size.Of(j.r), 40), listed(c.Sizes, 20)}, Example: "size:" + quoted(c.Sizes[0])}
	}
	if seat != j.part.Seat && !contains(free, seat) {
		return j.taken(ctx)
	}
	j.seat = seat
	return nil
}

// onlySize is a mistake where a tester says more than her size: what she tests
// is the size as it is written.
func (j *entrant) onlySize() error {
	const why words.Key = "a tester makes the size as it is written, so that its figures can be checked; leave it out"
	for _, b := range j.body {
		if b.Given(j.r) {
			return &Mistake{Option: b.spec.Name, Message: "%s", Args: []any{why}, Example: "size:" + quoted(j.m.Course.Sizes[0])}
		}
	}
	for _, l := range []interface {
		Given(Request) bool
		Spec() Spec
	}{j.width, j.length, j.ease} {
		if l.Given(j.r) {
			return &Mistake{Option: l.Spec().Name, Message: "%s", Args: []any{why}, Example: "size:" + quoted(j.m.Course.Sizes[0])}
		}
	}
	return nil
}

// seatNamed finds a size by its name, or by the end of it where only one ends
// so: "M" is "woman M".
func seatNamed(sizes []string, name string) (string, bool) {
	name = strings.TrimSpace(name)
	found := ""
	for _, s := range sizes {
		if strings.EqualFold(s, name) {
			return s, true
		}
		if name != "" && strings.HasSuffix(strings.ToLower(s), " "+strings.ToLower(name)) {
			if found != "" {
				return "", false
			}
			found = s
		}
	}
	return found, found != ""
}

// free are the sizes that have no tester yet.
func (j *entrant) free(ctx context.Context) ([]string, error) {
	all, err := j.services.MakeAlongs.Party(ctx, j.m.ID)
	if err != nil {
		return nil, fmt.Errorf("list who takes part: %w", err)
	}
	return freeSeats(j.m.Course.Sizes, all), nil
}

// freeSeats are the sizes of a tester call that nobody has.
func freeSeats(sizes []string, party []Participant) []string {
	var free []string
	for _, size := range sizes {
		taken := false
		for _, p := range party {
			taken = taken || strings.EqualFold(p.Seat, size)
		}
		if !taken {
			free = append(free, size)
		}
	}
	return free
}

// taken says which sizes can still be had.
func (j *entrant) taken(ctx context.Context) error {
	free, err := j.free(ctx)
	if err != nil {
		return err
	}
	if len(free) == 0 {
		return j.noneFree()
	}
	return &Mistake{Option: "size", Message: "this size has its tester already. Free: %s", Args: []any{listed(free, 20)}, Example: "size:" + quoted(free[0])}
}

func (j *entrant) noneFree() error {
	return Refused("Every size of %s has its tester; thank you for offering. When somebody leaves, her size is free again.", j.m.Name)
}
