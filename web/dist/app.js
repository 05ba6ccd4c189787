// The site as a plain table, until the drawing page is built into the program.
const page = document.getElementById('app');

function add(tag, text, into = page) {
  const element = document.createElement(tag);
  element.textContent = text;
  into.append(element);
  return element;
}

async function show() {
  const answer = await fetch('/api/site');
  const site = await answer.json();
  page.replaceChildren();
  add('h1', site.name || 'No site yet');
  for (const fault of site.faults) add('p', `${fault.file}:${fault.line ?? ''} ${fault.text}`);
  const table = add('table', '');
  for (const line of site.lines) {
    const row = add('tr', '', table);
    const holds = line.holds_m3 ? `holds ${line.holds_m3.likely.toFixed(1)} m³` : '';
    for (const text of [line.name, line.kind, `${line.length_m.toFixed(1)} m`, holds]) add('td', text, row);
  }
  for (const finding of site.findings) add('p', `${finding.severity}: ${finding.title}. ${finding.says}`);
}

show().catch((error) => add('p', String(error)));
