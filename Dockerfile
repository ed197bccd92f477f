# The one binary and nothing else that it needs: fonts, styles and migrations are
# embedded, and the database is another container (see docker-compose.yml).
FROM golang:1.26-bookworm AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY . .
RUN CGO_ENABLED=0 go build -trimpath -o /rowproof ./cmd/rowproof

FROM scratch
# Whom to trust when mail goes out over TLS.
COPY --from=build /etc/ssl/certs/ca-certificates.crt /etc/ssl/certs/
COPY --from=build /rowproof /rowproof
USER 65534:65534
EXPOSE 8080
ENTRYPOINT ["/rowproof"]
CMD ["serve", "--addr", "0.0.0.0:8080"]
