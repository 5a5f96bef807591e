package main

import (
	"context"
	"math/rand/v2"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/domain"

	"github.com/google/uuid"
)

// The program is killed between receiving what tablets kept and acknowledging it,
// again and again; each tablet sends what was not acknowledged again, under the
// same id. At the end every look is there once. COLDRAIL_KILLS says how often
// (make faults: 200).
func TestKilledBetweenReceiptAndAcknowledgement(t *testing.T) {
	kills := 10
	if text := os.Getenv("COLDRAIL_KILLS"); text != "" {
		var err error
		if kills, err = strconv.Atoi(text); err != nil {
			t.Fatal(err)
		}
	}
	shop := dbtest.OpenShop(t)
	var deer []domain.ShopNumber
	for i := range 4 {
		deer = append(deer, shop.HangDeer(t, i+1, i+3))
	}
	binary, address := build(t), freeAddress(t)
	data := t.TempDir()
	start := func() *program {
		p := startProgram(t, binary, data, "DATABASE_URL="+dbtest.AddressOf(t, shop.DB), "COLDRAIL_ADDR="+address)
		p.ready(t)
		return p
	}
	p := start()
	tablet := tablets{t: t, address: p.address, deer: deer, acked: map[string]bool{}}
	tablet.signIn(shop)
	chance := rand.New(rand.NewPCG(4, 200))
	inFlight, committed := 0, 0
	for range kills {
		done := tablet.send(6)
		time.Sleep(time.Duration(chance.IntN(int(12 * time.Millisecond))))
		p.kill(t)
		if left := <-done; left > 0 {
			inFlight++
		}
		p = start()
		committed += tablet.committed(shop)
		if left := <-tablet.send(0); left > 0 {
			t.Fatalf("%d acts are not acknowledged though the program runs", left)
		}
	}
	p.stop(t, os.Interrupt)
	var looks, lines int
	err := shop.Pool().QueryRow(t.Context(), `
		SELECT (SELECT count(*) FROM looks), (SELECT count(DISTINCT act) FROM time_line WHERE what = 'look')`).Scan(&looks, &lines)
	if want := 6 * kills; err != nil || looks != want || lines != want || len(tablet.acked) != want {
		t.Errorf("%d looks, %d lines on the time line, %d acknowledged, %v; want %d of each", looks, lines, len(tablet.acked), err, want)
	}
	t.Logf("%d kills, %d with acts sent and not acknowledged; %d acts had been committed and not acknowledged; %d acts sent %d times",
		kills, inFlight, committed, len(tablet.acked), tablet.sent)
	if inFlight < kills/4 || kills >= 100 && committed == 0 { // about one kill in five falls between commit and answer
		t.Errorf("%d of %d kills fell among sent acts, %d acts between commit and acknowledgement: this test saw too little", inFlight, kills, committed)
	}
}

// freeAddress is one that nobody listens at just now.
func freeAddress(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

// tablets keep looks and send them until each is acknowledged.
type tablets struct {
	t       *testing.T
	address string
	client  http.Client
	deer    []domain.ShopNumber

	mu      sync.Mutex
	waiting []url.Values
	acked   map[string]bool
	sent    int
}

// committed counts the acts that wait here for an answer and are in the records.
func (k *tablets) committed(shop *dbtest.Shop) (n int) {
	k.t.Helper()
	ids := make([]string, len(k.waiting))
	for i, form := range k.waiting {
		ids[i] = form.Get("act")
	}
	if err := shop.Pool().QueryRow(k.t.Context(), `SELECT count(*) FROM time_line WHERE act = ANY ($1::uuid[])`, ids).Scan(&n); err != nil {
		k.t.Fatal(err)
	}
	return n
}

func (k *tablets) signIn(shop *dbtest.Shop) {
	jar, err := cookiejar.New(nil)
	if err != nil {
		k.t.Fatal(err)
	}
	k.client = http.Client{Jar: jar, Timeout: 10 * time.Second, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	if status := k.post("/enrol", url.Values{"initials": {"AK"}, "password": {"correct horse battery"}, "device": {"tablet"}}); status != http.StatusSeeOther {
		k.t.Fatalf("/enrol answers %d", status)
	}
	if status := k.post("/who", url.Values{"staff": {shop.Bob.ID.String()}}); status != http.StatusSeeOther {
		k.t.Fatalf("/who answers %d", status)
	}
}

func (k *tablets) post(path string, form url.Values) int {
	ctx, cancel := context.WithTimeout(k.t.Context(), 10*time.Second)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, k.address+path, strings.NewReader(form.Encode()))
	if err != nil {
		return 0
	}
	req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	answer, err := k.client.Do(req)
	if err != nil {
		return 0
	}
	answer.Body.Close()
	return answer.StatusCode
}

// send keeps more looks, then sends all that wait, each once and side by side;
// how many are left comes through the channel.
func (k *tablets) send(more int) chan int {
	for i := range more {
		k.waiting = append(k.waiting, url.Values{"act": {uuid.Must(uuid.NewV7()).String()}, "number": {string(k.deer[i%len(k.deer)])}, "surface": {"dry"}, "smell": {"clean"}})
	}
	left := make(chan int, 1)
	go func() {
		var all sync.WaitGroup
		for _, form := range k.waiting {
			all.Go(func() {
				status := k.post("/round/look", form)
				k.mu.Lock()
				defer k.mu.Unlock()
				if k.sent++; status == http.StatusSeeOther {
					k.acked[form.Get("act")] = true
				}
			})
		}
		all.Wait()
		var still []url.Values
		for _, form := range k.waiting {
			if !k.acked[form.Get("act")] {
				still = append(still, form)
			}
		}
		k.waiting = still
		left <- len(still)
	}()
	return left
}
