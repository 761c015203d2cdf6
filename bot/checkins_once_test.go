package main

import (
	"fmt"
	"math/rand/v2"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"countwright/bot/chat/loopback"
	"countwright/commands"
)

// TestEachPostIsToldOnce plans 10,000 posts and has them sent by three
// processes that are killed over and over, at any step, while the service
// answers with all the troubles that there are, and the clock jumps.
func TestEachPostIsToldOnce(t *testing.T) {
	alongs, posts := 200, 50
	if testing.Short() {
		posts = 5
	}
	synctest.Test(t, func(t *testing.T) {
		o := openOffice(t)
		o.fake.Limits, o.fake.Meddle = true, troubles(25)
		random := rand.New(rand.NewPCG(1, 2))
		var channels []string
		var ids []int64
		kinds := []commands.PostKind{commands.WelcomePost, commands.MidwayPost, commands.FarewellPost, commands.WelcomePost}
		for i := range alongs {
			kind := kinds[i%len(kinds)]
			due := make([]time.Duration, posts)
			for n := range due {
				due[n] = time.Duration(random.Int64N(int64(posts) * int64(20*time.Minute)))
			}
			channel := o.fake.Open(loopback.Server)
			channels = append(channels, channel)
			ids = append(ids, o.plan(channel, commands.Course{}, kind, due...).ID)
		}
		var kills atomic.Int32
		var all sync.WaitGroup
		var over atomic.Bool
		for n := range 3 {
			all.Go(func() {
				fate := rand.New(rand.NewPCG(uint64(n), 3))
				time.Sleep(time.Duration(n) * 19 * time.Second)
				for !over.Load() {
					c, life := o.process(fate.IntN(400))
					for ; !over.Load() && !life.step(); time.Sleep(time.Minute) {
						c.sweep(t.Context())
					}
					kills.Add(1)
					time.Sleep(time.Duration(fate.Int64N(int64(10 * time.Minute))))
				}
			})
		}
		left := func() (n int) {
			for _, id := range ids {
				n += len(o.unsettled(id))
			}
			return n
		}
		for hours := 0; left() > 0; hours++ {
			if hours > 400 {
				t.Errorf("%d posts are not settled", left())
				break
			}
			time.Sleep(2 * time.Hour)
			o.ahead.Add(int64(random.IntN(2)) * int64(lease+time.Minute)) // over all leases
		}
		over.Store(true)
		all.Wait()
		messages := 0
		for i, channel := range channels {
			want := []string{}
			for n := range posts {
				want = append(want, fmt.Sprintf("%s/%d", kinds[i%len(kinds)], n))
			}
			messages += len(o.fake.Posts(channel))
			once(t, fmt.Sprint("make-along ", i), told(o.fake.Posts(channel)), want)
		}
		t.Logf("%d posts in %d messages, %d processes killed, %d requests beyond a limit, until %v", alongs*posts, messages, kills.Load(), o.fake.Beyond("global")+o.fake.Beyond("post")+o.fake.Beyond("list"), o.now())
	})
}
