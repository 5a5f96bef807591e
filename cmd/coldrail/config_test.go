package main

import (
	"strings"
	"testing"
)

// The shop's own proxies are named by address or range; a name of a machine is refused,
// since whoever answers for names could then say who asks.
func TestProxiesAreNamedByAddress(t *testing.T) {
	t.Parallel()
	of := func(proxies string) (Config, error) {
		return readConfig(func(name string) string { return map[string]string{"COLDRAIL_PROXY": proxies}[name] })
	}
	c, err := of("127.0.0.1, 10.0.0.0/8,::1, ::ffff:192.0.2.7")
	if err != nil || len(c.Proxies) != 4 || c.Proxies[0].String() != "127.0.0.1/32" || c.Proxies[1].String() != "10.0.0.0/8" || c.Proxies[3].String() != "192.0.2.7/32" {
		t.Errorf("%v, %v", c.Proxies, err)
	}
	if c, err := of(""); err != nil || len(c.Proxies) != 0 {
		t.Errorf("none named: %v, %v", c.Proxies, err)
	}
	for _, wrong := range []string{"proxy.lan", "10.0.0.0/33", "127.0.0.1:80"} {
		if _, err := of(wrong); err == nil || !strings.Contains(err.Error(), "COLDRAIL_PROXY holds") {
			t.Errorf("%q: %v", wrong, err)
		}
	}
}
