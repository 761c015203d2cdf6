package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"runtime/debug"
	"sync/atomic"
	"time"
)

// maxGroup is the largest number of writes that share a transaction.
const maxGroup = 64

// mostTries is how often a write that meets others is tried.
const mostTries = 25

// tx is a transaction and the time that every row written in it bears.
type tx struct {
	*sql.Tx
	now    time.Time
	engine *engine
}

// job is one write on its way to the writer. Its run may be called twice: in
// a group, and alone if the group fails.
type job struct {
	run   func(tx) error
	state atomic.Int32 // waiting, then taken or abandoned
	err   error
	done  chan struct{}
}

const (
	waiting = iota
	taken
	abandoned
)

// write runs run in a transaction and returns once it is on the disk. If ctx
// ends before the writer takes the job, nothing is written; afterwards write
// sees it through, so that an error always means "not written".
func (s *Store) write(ctx context.Context, doing string, run func(tx) error) error {
	j := &job{run: run, done: make(chan struct{})}
	if err := s.enqueue(ctx, j); err != nil {
		return explain(doing, err)
	}
	select {
	case <-j.done:
	case <-ctx.Done():
		if j.state.CompareAndSwap(waiting, abandoned) {
			return explain(doing, ctx.Err())
		}
		<-j.done
	}
	return explain(doing, j.err)
}

func (s *Store) enqueue(ctx context.Context, j *job) error {
	if err := s.enter(); err != nil {
		return err
	}
	defer s.leave()
	if err := ctx.Err(); err != nil {
		return err
	}
	select {
	case s.jobs <- j:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// writeLoop commits whatever waits, a group at a time, until jobs is closed
// and empty.
func (s *Store) writeLoop() {
	group := make([]*job, 0, maxGroup)
	for j := range s.jobs {
		group = append(group[:0], j)
		for len(group) < maxGroup {
			next, ok := s.waitingJob()
			if !ok {
				break
			}
			group = append(group, next)
		}
		s.commitGroup(group)
	}
}

// waitingJob takes a job if one waits; it does not wait for one.
func (s *Store) waitingJob() (*job, bool) {
	select {
	case j, ok := <-s.jobs:
		return j, ok
	default:
		return nil, false
	}
}

func (s *Store) commitGroup(group []*job) {
	live := group[:0]
	for _, j := range group {
		if j.state.CompareAndSwap(waiting, taken) {
			live = append(live, j)
		}
	}
	if err := s.commitTogether(live); err != nil {
		// The transaction itself is lost, as when the disk is full: what fits
		// alone shall not suffer from what does not.
		for _, j := range live {
			j.err = s.commitAlone(j)
		}
	}
	for _, j := range live {
		s.counts.done(j.err)
		close(j.done)
	}
}

// commitTogether leaves each job's own error in the job; an error that it
// returns means that nothing of the group was written.
func (s *Store) commitTogether(group []*job) error {
	if len(group) == 1 {
		group[0].err = s.commitAlone(group[0])
		return nil
	}
	return s.transact(func(t tx) error {
		for _, j := range group {
			if err := nested(t, j); err != nil {
				return err
			}
		}
		return nil
	})
}

// commitAlone runs a job in a transaction of its own, and again where it was in
// another's way.
func (s *Store) commitAlone(j *job) error {
	for attempt := 1; ; attempt++ {
		err := s.transact(func(t tx) error { return guarded(j.run, t) })
		if err == nil || attempt == mostTries || s.engine.again == nil || !s.engine.again(err) {
			return err
		}
		time.Sleep(rand.N(time.Duration(attempt) * 4 * time.Millisecond))
	}
}

// nested runs a job in a savepoint. The error it returns is the
// transaction's; the job's own stays in the job.
func nested(t tx, j *job) error {
	if _, err := t.Exec("SAVEPOINT job"); err != nil {
		return err
	}
	if j.err = guarded(j.run, t); j.err != nil {
		if again := t.engine.again; again != nil && again(j.err) {
			return j.err
		}
		if _, err := t.Exec("ROLLBACK TO job"); err != nil {
			return errors.Join(j.err, err)
		}
	}
	_, err := t.Exec("RELEASE job")
	return err
}

// transact begins on the writer and commits what run did, or rolls it back.
// It heeds no context: SQLite answers an interrupted write by rolling back
// the whole transaction, the neighbours' writes with it.
func (s *Store) transact(run func(tx) error) error {
	sqlTx, err := s.writer.BeginTx(context.Background(), s.engine.write)
	if err != nil {
		return err
	}
	defer sqlTx.Rollback() // does nothing after a commit
	if err := run(tx{sqlTx, s.stamp(), s.engine}); err != nil {
		return err
	}
	if err := sqlTx.Commit(); err != nil {
		return err
	}
	s.counts.commits.Add(1)
	return nil
}

// guarded turns a panic into an error, for the writer must live on.
func guarded(run func(tx) error, t tx) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("panic: %v\n%s", r, debug.Stack())
		}
	}()
	return run(t)
}

// read runs run on one moment of the database. run must not write or read
// through the Store: a Close in between would wait for itself.
func (s *Store) read(ctx context.Context, doing string, run func(tx) error) error {
	if err := s.enter(); err != nil {
		return explain(doing, err)
	}
	defer s.leave()
	sqlTx, err := s.readers.BeginTx(ctx, s.engine.read)
	if err != nil {
		return explain(doing, err)
	}
	defer sqlTx.Rollback()
	return explain(doing, run(tx{sqlTx, s.stamp(), s.engine}))
}

// readOne is read for what yields one value.
func readOne[T any](ctx context.Context, s *Store, doing string, run func(tx) (T, error)) (T, error) {
	var result, none T
	err := s.read(ctx, doing, func(t tx) (err error) {
		result, err = run(t)
		return err
	})
	if err != nil {
		return none, err
	}
	return result, nil
}

// stamp is the clock's time as it is stored: UTC, whole milliseconds.
func (s *Store) stamp() time.Time { return moment(s.now().UnixMilli()) }

// moment reads a stored time.
func moment(ms int64) time.Time { return time.UnixMilli(ms).UTC() }
