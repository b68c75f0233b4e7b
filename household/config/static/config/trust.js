// Sends a phone that already trusts the certificate straight on, and carries what stands after
// the "#" (an invitation, say) along: that part never left the phone.
'use strict';

const go = document.getElementById('go');
const https = go.dataset.https;
const rest = location.hash.startsWith('#/') && !location.hash.startsWith('#//') ? location.hash.slice(1) : '/';
const target = https + rest;
go.href = target;

const ios = /iPhone|iPad|iPod/.test(navigator.userAgent) || (/Mac/.test(navigator.platform) && navigator.maxTouchPoints > 1);
const android = /Android/.test(navigator.userAgent);
if (ios) document.getElementById('android').open = false;
if (android) document.getElementById('ios').open = false;

// The answer cannot be read across origins; that it arrives at all proves the trust.
fetch(`${https}/api/health`, { mode: 'no-cors', cache: 'no-store' }).then(
  () => {
    document.getElementById('known').textContent = 'This device already trusts the server.';
    if (location.protocol === 'http:' && rest !== '/') location.replace(target);
  },
  () => undefined,
);
