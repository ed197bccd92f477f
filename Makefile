# Rowproof. `make run` starts a studio, `make test` runs every check.

GO   ?= go
ADDR ?= 127.0.0.1:8080
DATA ?=

.PHONY: run build test check bench tools generate clean

run: build ## build, start the studio, say where it is
	./bin/rowproof serve --addr $(ADDR) $(if $(DATA),--data $(DATA))

build: ## build the one binary
	$(GO) build -o bin/rowproof ./cmd/rowproof

test: tools check ## install what the tests need, then everything
	$(GO) test -timeout 14m ./...

check: ## what needs no thought: format, vet, generated files
	@out=$$(git ls-files '*.go' | xargs gofmt -l); test -z "$$out" || { echo "gofmt would change:"; echo "$$out"; exit 1; }
	$(GO) vet ./...
	$(GO) tool templ generate -check

generate: ## Go from the templ files
	$(GO) tool templ fmt web
	$(GO) tool templ generate

bench: tools ## how fast, against what was promised and against Chromium
	@.ci/bench

tools: ## the outside programs that tests look with
	@.ci/tools

clean:
	rm -rf bin
