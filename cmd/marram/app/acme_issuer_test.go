package app_test

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"encoding/base64"
	"encoding/json"
	"encoding/pem"
	"fmt"
	"math/big"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/acme"
)

// acmeIssuer is a certificate issuer on this machine that speaks as much of RFC 8555
// as it takes to obtain a certificate by the challenge of RFC 8737: it checks every
// signature and every nonce, and looks at the server before it signs.
type acmeIssuer struct {
	*httptest.Server
	root     *x509.Certificate
	rootKey  *ecdsa.PrivateKey
	lookAt   func() string // address of the server that wants a certificate
	mu       sync.Mutex
	nonces   map[string]bool
	account  *ecdsa.PublicKey
	host     string
	proven   bool
	refusal  string // why the challenge failed
	chain    []byte
	orders   int
	accounts int
}

func mustIssuer(t *testing.T, lookAt func() string) *acmeIssuer {
	t.Helper()
	i := &acmeIssuer{lookAt: lookAt, nonces: map[string]bool{}}
	i.root, i.rootKey = mustRoot(t)
	mux := http.NewServeMux()
	mux.HandleFunc("GET /directory", func(w http.ResponseWriter, _ *http.Request) {
		i.answer(w, http.StatusOK, map[string]any{
			"newNonce": i.URL + "/nonce", "newAccount": i.URL + "/account", "newOrder": i.URL + "/order",
			"revokeCert": i.URL + "/revoke", "keyChange": i.URL + "/key", "meta": map[string]any{"termsOfService": i.URL + "/terms"},
		})
	})
	mux.HandleFunc("/nonce", func(w http.ResponseWriter, _ *http.Request) { i.answer(w, http.StatusOK, nil) })
	mux.HandleFunc("POST /account", i.signed(i.newAccount))
	mux.HandleFunc("POST /order", i.signed(i.newOrder))
	mux.HandleFunc("POST /order/1", i.signed(func(w http.ResponseWriter, _ []byte) { i.answer(w, http.StatusOK, i.order()) }))
	mux.HandleFunc("POST /authorization/1", i.signed(func(w http.ResponseWriter, _ []byte) { i.answer(w, http.StatusOK, i.authorization()) }))
	mux.HandleFunc("POST /challenge/1", i.signed(i.challenge))
	mux.HandleFunc("POST /finalize/1", i.signed(i.finalize))
	mux.HandleFunc("POST /certificate/1", i.signed(func(w http.ResponseWriter, _ []byte) {
		w.Header().Set("Content-Type", "application/pem-certificate-chain")
		_, _ = w.Write(i.chain)
	}))
	i.Server = httptest.NewTLSServer(mux)
	t.Cleanup(i.Close)
	return i
}

func mustRoot(t *testing.T) (*x509.Certificate, *ecdsa.PrivateKey) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	template := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "Invented issuer"}, IsCA: true, BasicConstraintsValid: true,
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(24 * time.Hour), KeyUsage: x509.KeyUsageCertSign,
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, key.Public(), key)
	require.NoError(t, err)
	root, err := x509.ParseCertificate(der)
	require.NoError(t, err)
	return root, key
}

// ownRoot writes who vouches for the issuer's own address to a file.
func (i *acmeIssuer) ownRoot(t *testing.T) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "issuer.pem")
	require.NoError(t, os.WriteFile(file, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: i.Certificate().Raw}), 0o600))
	return file
}

// trust is a pool with the root of what the issuer signs.
func (i *acmeIssuer) trust() *x509.CertPool {
	pool := x509.NewCertPool()
	pool.AddCert(i.root)
	return pool
}

func (i *acmeIssuer) answer(w http.ResponseWriter, status int, body any) {
	nonce := make([]byte, 16)
	_, _ = rand.Read(nonce)
	text := base64.RawURLEncoding.EncodeToString(nonce)
	i.nonces[text] = true
	w.Header().Set("Replay-Nonce", text)
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	if body != nil {
		_ = json.NewEncoder(w).Encode(body)
	}
}

// signed hands on the payload of a request whose signature and nonce are good.
func (i *acmeIssuer) signed(do func(w http.ResponseWriter, payload []byte)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		i.mu.Lock()
		defer i.mu.Unlock()
		payload, err := i.open(r)
		if err != nil {
			i.answer(w, http.StatusBadRequest, map[string]string{"type": "urn:ietf:params:acme:error:malformed", "detail": err.Error()})
			return
		}
		do(w, payload)
	}
}

func (i *acmeIssuer) open(r *http.Request) ([]byte, error) {
	var jws struct{ Protected, Payload, Signature string }
	if err := json.NewDecoder(r.Body).Decode(&jws); err != nil {
		return nil, err
	}
	var head struct {
		Alg, Nonce, URL, KID string
		JWK                  *struct{ Crv, X, Y string }
	}
	if text, err := base64.RawURLEncoding.DecodeString(jws.Protected); err != nil || json.Unmarshal(text, &head) != nil {
		return nil, fmt.Errorf("no header: %q", jws.Protected)
	}
	if !i.nonces[head.Nonce] {
		return nil, fmt.Errorf("unknown nonce %q", head.Nonce)
	}
	delete(i.nonces, head.Nonce)
	if head.URL != i.URL+r.URL.Path || head.Alg != "ES256" {
		return nil, fmt.Errorf("signed for %s with %s", head.URL, head.Alg)
	}
	if head.JWK != nil {
		x, _ := base64.RawURLEncoding.DecodeString(head.JWK.X)
		y, _ := base64.RawURLEncoding.DecodeString(head.JWK.Y)
		key, err := ecdsa.ParseUncompressedPublicKey(elliptic.P256(), append(append([]byte{4}, x...), y...))
		if err != nil {
			return nil, err
		}
		i.account = key
	}
	signature, err := base64.RawURLEncoding.DecodeString(jws.Signature)
	if err != nil || len(signature) != 64 || i.account == nil {
		return nil, fmt.Errorf("no signature: %q", jws.Signature)
	}
	digest := sha256.Sum256([]byte(jws.Protected + "." + jws.Payload))
	if !ecdsa.Verify(i.account, digest[:], new(big.Int).SetBytes(signature[:32]), new(big.Int).SetBytes(signature[32:])) {
		return nil, fmt.Errorf("bad signature")
	}
	return base64.RawURLEncoding.DecodeString(jws.Payload)
}

func (i *acmeIssuer) newAccount(w http.ResponseWriter, _ []byte) {
	i.accounts++
	w.Header().Set("Location", i.URL+"/account/1")
	i.answer(w, http.StatusCreated, map[string]string{"status": "valid"})
}

func (i *acmeIssuer) newOrder(w http.ResponseWriter, payload []byte) {
	var in struct {
		Identifiers []struct{ Type, Value string }
	}
	if err := json.Unmarshal(payload, &in); err != nil || len(in.Identifiers) != 1 {
		i.answer(w, http.StatusBadRequest, map[string]string{"type": "urn:ietf:params:acme:error:malformed"})
		return
	}
	i.orders++
	i.host, i.proven = in.Identifiers[0].Value, false
	w.Header().Set("Location", i.URL+"/order/1")
	i.answer(w, http.StatusCreated, i.order())
}

func (i *acmeIssuer) order() map[string]any {
	out := map[string]any{
		"status": "pending", "authorizations": []string{i.URL + "/authorization/1"}, "finalize": i.URL + "/finalize/1",
		"identifiers": []map[string]string{{"type": "dns", "value": i.host}},
	}
	switch {
	case i.chain != nil:
		out["status"], out["certificate"] = "valid", i.URL+"/certificate/1"
	case i.proven:
		out["status"] = "ready"
	}
	return out
}

const acmeToken = "invented-token-of-the-local-issuer"

func (i *acmeIssuer) status() string {
	switch {
	case i.proven:
		return "valid"
	case i.refusal != "":
		return "invalid"
	default:
		return "pending"
	}
}

func (i *acmeIssuer) authorization() map[string]any {
	return map[string]any{
		"status": i.status(), "identifier": map[string]string{"type": "dns", "value": i.host},
		"challenges": []map[string]string{{"type": "tls-alpn-01", "url": i.URL + "/challenge/1", "token": acmeToken, "status": i.status()}},
	}
}

// challenge looks at the server: it must show the digest of token and account key in
// a certificate for the host (RFC 8737, section 3).
func (i *acmeIssuer) challenge(w http.ResponseWriter, _ []byte) {
	if err := i.look(); err != nil {
		i.refusal = err.Error()
	} else {
		i.proven = true
	}
	i.answer(w, http.StatusOK, map[string]string{"type": "tls-alpn-01", "url": i.URL + "/challenge/1", "token": acmeToken, "status": i.status()})
}

// acmeIdentifier is the extension of RFC 8737, section 3.
var acmeIdentifier = asn1.ObjectIdentifier{1, 3, 6, 1, 5, 5, 7, 1, 31}

func (i *acmeIssuer) look() error {
	conn, err := tls.Dial("tcp", i.lookAt(), &tls.Config{
		ServerName: i.host, NextProtos: []string{acme.ALPNProto}, InsecureSkipVerify: true, //nolint:gosec // its certificate signs itself: that is the challenge
	})
	if err != nil {
		return err
	}
	defer func() { _ = conn.Close() }()
	thumb, err := acme.JWKThumbprint(i.account)
	if err != nil {
		return err
	}
	digest := sha256.Sum256([]byte(acmeToken + "." + thumb))
	want, err := asn1.Marshal(digest[:])
	if err != nil {
		return err
	}
	shown := conn.ConnectionState().PeerCertificates[0]
	for _, e := range shown.Extensions {
		if e.Id.Equal(acmeIdentifier) && string(e.Value) == string(want) && strings.Join(shown.DNSNames, " ") == i.host {
			return nil
		}
	}
	return fmt.Errorf("the certificate for %v does not hold the digest", shown.DNSNames)
}

func (i *acmeIssuer) finalize(w http.ResponseWriter, payload []byte) {
	var in struct{ CSR string }
	der, err := base64.RawURLEncoding.DecodeString(in.CSR)
	if json.Unmarshal(payload, &in) == nil {
		der, err = base64.RawURLEncoding.DecodeString(in.CSR)
	}
	var csr *x509.CertificateRequest
	if err == nil {
		csr, err = x509.ParseCertificateRequest(der)
	}
	if err != nil || !i.proven || csr.CheckSignature() != nil || strings.Join(csr.DNSNames, " ") != i.host {
		i.answer(w, http.StatusForbidden, map[string]string{"type": "urn:ietf:params:acme:error:unauthorized"})
		return
	}
	template := &x509.Certificate{
		SerialNumber: big.NewInt(2), DNSNames: csr.DNSNames, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(24 * 60 * time.Hour),
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}
	leaf, err := x509.CreateCertificate(rand.Reader, template, i.root, csr.PublicKey, i.rootKey)
	if err != nil {
		i.answer(w, http.StatusInternalServerError, nil)
		return
	}
	i.chain = append(pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: leaf}),
		pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: i.root.Raw})...)
	i.answer(w, http.StatusOK, i.order())
}
