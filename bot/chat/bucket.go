package chat

import (
	"math"
	"net/http"
	"strconv"
	"strings"
	"time"
)

// bucket is what one limit of the service allows.
type bucket struct {
	known   bool // the service has answered
	limited bool // and stated a limit
	left    int
	reset   time.Time // when all may be used again
	limit   int
	flying  int
	waiting int
}

// wait is how long a request must wait, 0 where it need not, and below 0 until
// another has been answered.
func (b *bucket) wait(now time.Time) time.Duration {
	if !now.Before(b.reset) && b.limited {
		b.left = max(b.left, b.limit-b.flying)
	}
	switch {
	case !b.known && b.flying > 0:
		return -1
	case now.Before(b.reset) && b.left <= 0:
		return b.reset.Sub(now)
	case b.limited && b.left <= 0:
		return -1
	}
	return 0
}

// learn takes what the headers of an answer say.
func (b *bucket) learn(h http.Header, now time.Time) {
	b.known = true
	limit, err := strconv.Atoi(h.Get("X-RateLimit-Limit"))
	left, err2 := strconv.Atoi(h.Get("X-RateLimit-Remaining"))
	after, err3 := strconv.ParseFloat(h.Get("X-RateLimit-Reset-After"), 64)
	if err != nil || err2 != nil || err3 != nil {
		return
	}
	reset := now.Add(seconds(after) + slack)
	if !b.limited || reset.Sub(b.reset) > seconds(after)/2 {
		b.left = left - b.flying // the first answer of a new span
	} else {
		b.left = min(b.left, left)
	}
	b.limited, b.limit, b.reset = true, limit, reset
}

// route is what the service tells limits apart by: a method with a path in
// which ids are left out, and the top-level id.
type route struct{ template, major string }

func routeOf(method, path string) route {
	r := route{template: method}
	parts := strings.Split(strings.Trim(path, "/"), "/")
	for i, part := range parts {
		if snowflake(part) {
			if i > 0 && r.major == "" && (parts[i-1] == "channels" || parts[i-1] == "guilds" || parts[i-1] == "webhooks") {
				r.major = part
			}
			part = ":"
		}
		r.template += "/" + part
	}
	return r
}

func snowflake(s string) bool {
	for _, c := range s {
		if c < '0' || c > '9' {
			return false
		}
	}
	return len(s) >= 15
}

// seconds is a time as the service states it; what makes no sense is none.
func seconds(s float64) time.Duration {
	if math.IsNaN(s) || s < 0 {
		return 0
	}
	return time.Duration(min(s, 86400) * float64(time.Second))
}
