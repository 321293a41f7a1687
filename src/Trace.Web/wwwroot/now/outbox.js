// Entries wait here until the server has them. Each carries the time it happened, who made it, and a key by which the server knows it
// again: sent twice, it is recorded once.
import { addEntry, putEntry, allEntries, answerTo, settle } from './store.js';

// Two ends: what one end sends, it does not hear itself.
const news = new BroadcastChannel('trace-now');
const ears = new BroadcastChannel('trace-now');
let busy = false;

/** Tells this tab and all others that something changed. */
export const heard = listener => ears.addEventListener('message', listener);
const tell = () => news.postMessage('changed');

export async function add(entry) {
  const whole = { ...entry, key: `now-${randomKey()}`, state: 'waiting' };
  whole.seq = await addEntry(whole);
  tell();
  return whole;
}

/** Without a secure context there is no randomUUID. */
const randomKey = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), byte => byte.toString(16).padStart(2, '0')).join('');

/** What an entry is about: a later one about the same must not overtake it. */
function touches(body, found = []) {
  for (const value of Object.values(body)) {
    if (typeof value === 'object' && value !== null) touches(value, found);
    else if (typeof value === 'string' && value.startsWith('@')) found.push(value);
  }
  for (const name of ['lot', 'container']) if (typeof body[name] === 'string') found.push(body[name]);
  return found;
}

/** A lot that was made by an earlier entry has no code before that entry is answered: its place is held by `@key`. */
async function resolve(value) {
  if (typeof value === 'string' && value.startsWith('@')) {
    const answer = await answerTo(value.slice(1));
    if (!answer?.lot) throw new Error('unresolved');
    return answer.lot;
  }
  if (Array.isArray(value)) return Promise.all(value.map(resolve));
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(await Promise.all(Object.entries(value).map(async ([name, part]) => [name, await resolve(part)])));
}

/**
 * Sends what waits, in order, one at a time; never from two tabs together.
 * Answers 'sent', 'offline', 'sign-in', or 'idle'.
 */
export function send(person) {
  if (!navigator.locks) return busy ? Promise.resolve('idle') : sendAll(person);
  return navigator.locks.request('trace-now', { ifAvailable: true }, lock => lock ? sendAll(person) : 'idle');
}

async function sendAll(person) {
  busy = true;
  try {
    const all = await allEntries();

    // What was made by an entry that was refused waits until somebody has changed that one, or thrown it away.
    const behind = new Set(all.filter(one => one.state === 'refused').map(one => `@${one.key}`));
    let sent = false;
    for (const entry of all.filter(one => one.state === 'waiting')) {
      const about = touches(entry.body);
      if (entry.person !== person || about.some(name => behind.has(name))) {
        [...about, `@${entry.key}`].forEach(name => behind.add(name));
        continue;
      }
      const outcome = await sendOne(entry);
      if (outcome === 'refused') behind.add(`@${entry.key}`);
      if (outcome === 'recorded' || outcome === 'refused') { sent = true; continue; }
      if (outcome === 'other') { [...about, `@${entry.key}`].forEach(name => behind.add(name)); continue; }
      return outcome;
    }
    return sent ? 'sent' : 'idle';
  } finally {
    busy = false;
  }
}

async function sendOne(entry) {
  let body;
  try {
    body = await resolve(entry.body);
  } catch {
    return refuse(entry, { code: 'now.depends' });
  }
  let answer;
  try {
    answer = await fetch(`/api/sites/${entry.site}/${entry.operation}`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json', 'Idempotency-Key': entry.key, 'Recorded-By': encodeURIComponent(entry.person) },
      body: JSON.stringify(body),
      signal: AbortSignal.timeout(10000),
    });
    const content = await answer.json();
    if (answer.ok) {
      await settle(entry, content);
      tell();
      return 'recorded';
    }
    if (content.code === 'sign-in.other-person') return 'other';
    if (answer.status === 401) return 'sign-in';
    if (answer.status >= 500 || [408, 425, 429].includes(answer.status)) return 'offline';
    return refuse(entry, content);
  } catch {
    return 'offline';
  }
}

async function refuse(entry, problem) {
  await putEntry({ ...entry, state: 'refused', problem });
  tell();
  return 'refused';
}
