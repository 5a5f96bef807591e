# Each line of a target is a command you could type yourself.

# The race detector looks where goroutines share memory; elsewhere it finds
# nothing and only takes time. What it must build the whole site for has a target
# of its own. The browser's tests come last.
RACE = ./db ./domain/exposure
WHOLE = ./web ./web/hunter ./web/rail ./cmd/coldrail
BROWSER = ./web/browser/...
OTHERS = $$(go list ./... | grep -vxE 'coldrail/(db|domain/exposure|web/browser)')
STATICCHECK = go run honnef.co/go/tools/cmd/staticcheck@v0.8.2

help: ## this list
	@grep -E '^[a-z]+:.*## ' $(MAKEFILE_LIST) | sed -E 's/^([a-z]+):.*## /make \1\t/' | expand -t 14

run: ## installs what is missing, then serves the shop with the demo season
	.ci/install run
	go build -o bin/coldrail ./cmd/coldrail
	exec bin/coldrail serve --demo

# go vet has looked at everything before; its share in go test would only do it again.
test: ## installs what is missing, then checks and tests everything
	.ci/install test
	go tool templ generate -check
	@echo 'gofmt -l .'; unformatted=$$(gofmt -l .); echo "$$unformatted"; test -z "$$unformatted"
	go vet ./...
	$(STATICCHECK) ./...
	go test -vet=off $(OTHERS)
	go test -vet=off -race $(RACE)
	go test -vet=off $(BROWSER)

race: ## the race detector on the whole site and the program too
	.ci/install test
	go test -race $(RACE) $(WHOLE)

bench: ## the speed targets, each as a ratio measured in one run
	.ci/install run
	go test -p 1 -run '^$$' -bench . ./...

seasons: ## the same targets with ten seasons of history underneath; takes half an hour
	.ci/install run
	go test -p 1 -run '^$$' -bench 'Board|Dropoff|HunterPage|Crowd|ReadingsFile|Plan|Reached' -timeout 30m ./db ./web/rail ./web/dropoff ./web/hunter ./web/cutting ./web/law -seasons 10

faults: ## kills, fills, cuts and moves the clock 210 times under load, and checks after each; 200 kills while tablets send
	.ci/install run
	COLDRAIL_KILLS=200 go test -count 1 -v -run Killed ./cmd/coldrail
	go test ./cmd/coldrail -run '^TestFaults$$' -faults 210 -timeout 60m -count 1 -v

load: ## ten people at work and 500 phones for a minute, as ratios to the bare queries
	.ci/install run
	go test ./cmd/coldrail -run '^TestLoad$$' -load 60s -timeout 10m -count 1 -v

gen: ## writes the Go code of the .templ files anew
	go tool templ generate

.PHONY: help run test race bench seasons faults load gen
