package requests

import "testing"

func TestOnlyLoopbackIsServed(t *testing.T) {
	for addr, ok := range map[string]bool{
		"127.0.0.1:0": true, "[::1]:0": true, "127.3.4.5:80": true,
		"0.0.0.0:80": false, ":80": false, "192.168.1.5:80": false, "[::]:80": false, "localhost:80": false, "127.0.0.1": false, "[::ffff:192.168.1.5]:80": false,
	} {
		if _, err := Loopback(addr); (err == nil) != ok {
			t.Errorf("%s: %v", addr, err)
		}
	}
}
