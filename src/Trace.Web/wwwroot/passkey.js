// Passkeys. Asks the server for a challenge, the browser for the device's answer to it, and sends that as an ordinary form.
// Written out by hand instead of with toJSON(): older browsers, and some password managers, do not have it.

const toBytes = text => Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), letter => letter.charCodeAt(0));

const toText = buffer => btoa(String.fromCharCode(...new Uint8Array(buffer)))
  .replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');

const withBytes = list => (list ?? []).map(one => ({ ...one, id: toBytes(one.id) }));

async function create(told) {
  const made = await navigator.credentials.create({
    publicKey: {
      ...told,
      challenge: toBytes(told.challenge),
      user: { ...told.user, id: toBytes(told.user.id) },
      excludeCredentials: withBytes(told.excludeCredentials),
    },
  });
  return credential(made, {
    attestationObject: toText(made.response.attestationObject),
    transports: made.response.getTransports?.() ?? [],
  });
}

async function get(told) {
  const used = await navigator.credentials.get({
    publicKey: { ...told, challenge: toBytes(told.challenge), allowCredentials: withBytes(told.allowCredentials) },
  });
  return credential(used, {
    authenticatorData: toText(used.response.authenticatorData),
    signature: toText(used.response.signature),
    userHandle: used.response.userHandle ? toText(used.response.userHandle) : null,
  });
}

const credential = (from, response) => JSON.stringify({
  id: from.id,
  rawId: toText(from.rawId),
  type: from.type,
  clientExtensionResults: from.getClientExtensionResults(),
  response: { clientDataJSON: toText(from.response.clientDataJSON), ...response },
});

async function begin(form) {
  const answer = await fetch(form.dataset.begin, {
    method: 'POST', headers: { accept: 'application/json' }, body: new URLSearchParams(new FormData(form)),
  });
  const told = await answer.json();
  if (!answer.ok) throw new Error(told.detail ?? told.title);
  return told;
}

const words = {
  NotAllowedError: 'Nothing was done: it was cancelled, took too long, or this device has no passkey for this address.',
  InvalidStateError: 'This device has a passkey of yours already.',
  SecurityError: 'The browser makes no passkey at this address.',
  NotSupportedError: 'This device cannot make such a passkey.',
};

async function send(form) {
  const button = form.querySelector('button');
  const problem = form.querySelector('[role=alert]');
  problem.textContent = '';
  button.disabled = true;
  try {
    const told = await begin(form);
    form.elements.credential.value = await (form.dataset.passkey === 'create' ? create(told) : get(told));

    // It was asked for at the beginning; once is enough.
    if (form.elements.secret) form.elements.secret.disabled = true;
    form.submit();
  } catch (error) {
    problem.textContent = words[error.name] ?? error.message;
    button.disabled = false;
  }
}

if (window.PublicKeyCredential && window.isSecureContext) {
  for (const note of document.querySelectorAll('[data-passkey-missing]')) note.hidden = true;
  for (const form of document.querySelectorAll('form[data-passkey]')) {
    form.hidden = false;
    form.addEventListener('submit', event => { event.preventDefault(); send(form); });
  }
}
