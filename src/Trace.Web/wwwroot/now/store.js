// What the tablet keeps: entries that wait, answers to those that were sent, and the last picture of the bench.
// Every write is on the tablet's disk before it counts as kept.

const opened = new Promise((resolve, reject) => {
  const request = indexedDB.open('trace-now', 1);
  request.onupgradeneeded = () => {
    request.result.createObjectStore('outbox', { keyPath: 'seq', autoIncrement: true });
    request.result.createObjectStore('answers');
    request.result.createObjectStore('kept');
  };
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});

/** Runs `work` in one transaction and resolves with its request's result when all of it is on the disk. */
async function change(stores, work) {
  const database = await opened;
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(stores, 'readwrite', { durability: 'strict' });
    const request = work(...stores.map(name => transaction.objectStore(name)));
    transaction.oncomplete = () => resolve(request?.result);
    transaction.onerror = transaction.onabort = () => reject(transaction.error);
  });
}

async function read(store, ask) {
  const database = await opened;
  return new Promise((resolve, reject) => {
    const request = ask(database.transaction(store).objectStore(store));
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

export const addEntry = entry => change(['outbox'], outbox => outbox.add(entry));
export const putEntry = entry => change(['outbox'], outbox => outbox.put(entry));
export const dropEntry = seq => change(['outbox'], outbox => outbox.delete(seq));
export const allEntries = () => read('outbox', outbox => outbox.getAll());
export const answerTo = key => read('answers', answers => answers.get(key));

/** An entry was recorded: it leaves the outbox in the same transaction in which its answer is kept. */
export const settle = (entry, answer) => change(['outbox', 'answers'], (outbox, answers) => {
  outbox.delete(entry.seq);
  return answers.put(answer, entry.key);
});

export const keep = (name, value) => change(['kept'], kept => kept.put(value, name));
export const forget = name => change(['kept'], kept => kept.delete(name));
export const kept = name => read('kept', store => store.get(name));
