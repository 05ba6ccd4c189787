// Papers: the program's own drawings, to scale, ready for the printer.
import { useEffect, useState } from 'preact/hooks';
import { get, getText } from '../../net/ask';
import { fail, site } from '../../state/site';
import { words } from '../../words';

interface Paper {
  name: string;
  title: string;
}

export function PrintPage() {
  const [papers, setPapers] = useState<Paper[]>([]);
  const [chosen, setChosen] = useState<string | null>(null);
  const [drawing, setDrawing] = useState('');
  const revision = site.value?.revision;
  useEffect(() => {
    get<Paper[]>('paper')
      .then((list) => {
        setPapers(list);
        setChosen((before) => before ?? list[0]?.name ?? null);
      })
      .catch(fail);
  }, [revision]);
  useEffect(() => {
    if (chosen === null) return;
    getText(`paper/${encodeURIComponent(chosen)}.svg`)
      .then(setDrawing)
      .catch(fail);
  }, [chosen, revision]);
  return (
    <>
      <div class="print-choice">
        <h2>{words.print.title}</h2>
        <p>{words.print.lead}</p>
        <div class="row">
          <label class="choice">
            <span>{words.print.which}</span>
            <select value={chosen ?? ''} onChange={(event) => setChosen(event.currentTarget.value)}>
              {papers.map((paper) => (
                <option key={paper.name} value={paper.name}>
                  {paper.title}
                </option>
              ))}
            </select>
          </label>
          <button type="button" class="strong" onClick={() => print()}>
            {words.print.now}
          </button>
        </div>
      </div>
      <PaperSheet svg={drawing} />
    </>
  );
}

/** The drawing as the server made it: parsed as XML, so that nothing in it can run. */
function PaperSheet({ svg }: { svg: string }) {
  const address = svg === '' ? null : `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`;
  return address ? <img class="paper-sheet" src={address} alt={words.print.drawing} /> : <p>{words.dial.asking}</p>;
}
