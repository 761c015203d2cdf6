package chat

import "testing"

// Source: the service's documentation, topics/permissions, "Permission
// Overwrites" (the order in which they apply), with cases worked by hand.
func TestOverwrites(t *testing.T) {
	const everyone, host, knitter, bot = "1", "2", "3", "9"
	const see, send, files = 1 << 10, 1 << 11, 1 << 15
	for _, tt := range []struct {
		name       string
		base       int64
		overwrites []overwrite
		want       int64
	}{
		{"none", see | send, nil, see | send},
		{"everybody loses", see | send, []overwrite{{everyone, 0, "0", "2048"}}, see},
		{"a role has it back", see | send, []overwrite{{host, 0, "2048", "0"}, {everyone, 0, "0", "2048"}}, see | send},
		{"of two roles allowing wins", see, []overwrite{{host, 0, "2048", "0"}, {knitter, 0, "0", "2048"}}, see | send},
		{"the member's own is last", see | send, []overwrite{{bot, 1, "0", "2048"}, {host, 0, "2048", "0"}}, see},
		{"another's role is nothing", see, []overwrite{{"7", 0, "2048", "1024"}, {"8", 1, "2048", "1024"}}, see},
		{"a member's number as a role's", see, []overwrite{{bot, 0, "2048", "0"}}, see},
		{"gains", 0, []overwrite{{everyone, 0, "33792", "0"}}, see | files},
		{"an administrator loses nothing", 1 << 3, []overwrite{{everyone, 0, "0", "2048"}}, 1 << 3},
	} {
		if got := overwritten(tt.base, tt.overwrites, everyone, []string{host, knitter}, bot); got != tt.want {
			t.Errorf("%s: %b, want %b", tt.name, got, tt.want)
		}
	}
	if names := missing(see | send); len(names) != 4 {
		t.Errorf("missing %v", names)
	}
	if names := missing(permissionAdministrator); names != nil {
		t.Errorf("an administrator misses %v", names)
	}
}
