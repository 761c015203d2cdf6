package store

import (
	"context"
	"sync"
	"testing"
)

func TestStats(t *testing.T) {
	ctx := context.Background()
	s, _ := open(t)
	before := s.Stats(ctx)
	if before.Writes != 0 || before.Bytes == 0 {
		t.Errorf("when opened: %+v", before)
	}
	var all sync.WaitGroup
	for range 40 {
		all.Go(func() {
			if _, err := s.SaveSettings(ctx, By{Member: "300000000000000001"}, Settings{Units: "in"}); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	if _, err := s.SaveSettings(ctx, By{Member: "300000000000000001"}, Settings{Units: "ells"}); err == nil {
		t.Fatal("ells were taken")
	}
	got := s.Stats(ctx)
	if got.Writes != 40 || got.Failed != 1 || got.Commits == 0 || got.Commits > 40 || got.Bytes < before.Bytes {
		t.Errorf("after 40 writes and one that fails: %+v", got)
	}
}
