// Makes elements. Text always goes in as text: nothing that somebody typed is ever read as markup.

export function el(tag, properties = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(properties)) {
    if (value === undefined || value === null) continue;
    if (name === 'role' || name.includes('-')) made.setAttribute(name, value);
    else made[name] = value;
  }
  made.append(...children.flat(Infinity).filter(child => child !== null && child !== undefined && child !== false));
  return made;
}

export const button = (text, pressed, className = '') => {
  const made = el('button', { type: 'button', className }, text);
  made.addEventListener('click', pressed);
  return made;
};

/** A code that may be broken nowhere and reads from left to right in any language. */
export const code = text => el('bdi', {}, text);

let fields = 0;

/** A labelled field; `read()` gives what stands in it. */
export function textField(label, { value = '', number = false, unit = '', hint = '', list = [] } = {}) {
  const id = `field-${++fields}`;
  const input = el('input', { id, type: 'text', value, autocomplete: 'off', className: number ? 'number' : '', inputMode: number ? 'decimal' : 'text' });
  const options = list.length ? el('datalist', { id: `${id}-list` }, list.map(one => el('option', { value: one }))) : null;
  if (options) input.setAttribute('list', options.id);
  const problem = el('p', { className: 'problem', id: `${id}-problem` });
  input.setAttribute('aria-describedby', problem.id);
  const made = el('div', { className: 'field' },
    el('label', { htmlFor: id }, label, unit ? el('span', { className: 'unit' }, unit) : null), hint ? el('p', { className: 'hint' }, hint) : null,
    input, options, problem);
  return { element: made, input, read: () => input.value.trim(), complain: text => {
    problem.textContent = text;
    made.classList.toggle('wrong', text !== '');
    input.setAttribute('aria-invalid', text !== '');
  } };
}

/** One of a few, each a large thing to touch. */
export function choiceField(label, options, chosen = null) {
  const name = `choice-${++fields}`;
  const problem = el('p', { className: 'problem' });
  const inputs = options.map(([value, text], place) => {
    const input = el('input', { type: 'radio', name, value: String(value), id: `${name}-${place}`, checked: value === chosen });
    return el('label', { htmlFor: input.id }, input, text);
  });
  const made = el('fieldset', { className: 'choices' }, el('legend', {}, label), inputs, problem);
  return {
    element: made,
    input: made,
    read: () => made.querySelector('input:checked')?.value ?? null,
    complain: text => { problem.textContent = text; made.classList.toggle('wrong', text !== ''); },
  };
}
