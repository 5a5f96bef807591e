package trust

import "testing"

// A page opened on the shop's own machine gives other devices an address that they
// get to, or none.
func TestReachedFromAnotherDevice(t *testing.T) {
	t.Parallel()
	inside := []string{"127.0.0.1", "192.168.1.5"}
	for name, tt := range map[string]struct {
		plain, safe string
		addresses   []string
		want        string
	}{
		"this machine alone":    {"127.0.0.1:8080", "", inside, ""},
		"by name alone":         {"localhost:8080", "", inside, ""},
		"everywhere":            {":8080", "", inside, "http://192.168.1.5:8080/trust"},
		"everywhere, as zeros":  {"0.0.0.0:8080", "", inside, "http://192.168.1.5:8080/trust"},
		"one address":           {"192.168.1.9:80", "", inside, "http://192.168.1.9:80/trust"},
		"safe alone":            {"127.0.0.1:8080", ":8443", inside, "https://192.168.1.5:8443/trust"},
		"plain goes first":      {":8080", ":8443", inside, "http://192.168.1.5:8080/trust"},
		"no network in reach":   {":8080", "", []string{"127.0.0.1"}, ""},
		"six, in brackets":      {"[::]:8080", "", inside, "http://192.168.1.5:8080/trust"},
		"six, this one alone":   {"[::1]:8080", "", inside, ""},
		"nothing said of where": {"", "", inside, ""},
	} {
		if got := (&Pages{Addr: tt.plain, TLSAddr: tt.safe}).reached(tt.addresses); got != tt.want {
			t.Errorf("%s: %q, want %q", name, got, tt.want)
		}
	}
}
