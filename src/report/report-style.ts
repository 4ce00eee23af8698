/** Style of the report: a page of paper on a screen, black on white in print, with its foot on every sheet. */
export function reportStyle(foot: string): string {
  const words = foot.replaceAll('\\', ' ').replaceAll('"', "'").replaceAll('<', ' ').replaceAll('\n', ' ');
  return `
:root{color-scheme:light}
*{box-sizing:border-box}
body{margin:0;background:#eef0ef;color:#111;font:15px/1.45 system-ui,sans-serif;font-variant-numeric:tabular-nums}
article{background:#fff;max-width:820px;margin:24px auto;padding:56px 64px}
h1{font-size:25px;line-height:1.2}h2{font-size:17px;margin:28px 0 6px}h3{font-size:15px;margin:18px 0 4px}
p{margin:6px 0}.dim{color:#555;font-weight:400}.small,small{font-size:13px}small{display:block;color:#555}
a{color:inherit}
dl{display:grid;grid-template-columns:minmax(120px,210px) 1fr;gap:2px 16px;margin:8px 0}dt{color:#555}dd{margin:0;overflow-wrap:anywhere}
table{width:100%;border-collapse:collapse;margin:8px 0;font-size:13px}
td,th{padding:5px 6px;text-align:right;border-bottom:1px solid #ccc}td:first-child,th:first-child{text-align:left}
th{font-weight:400;color:#555;vertical-align:bottom;border-bottom:1.5px solid #111;line-height:1.25}
.wide{overflow-x:auto}.two{display:flex;flex-wrap:wrap;gap:16px}.two>*{flex:1 1 300px;min-width:0}.grid{display:flex;flex-wrap:wrap;gap:16px}.grid>*{flex:1 1 320px}
td{white-space:nowrap}td:last-child{white-space:normal}td small{font-size:12px}.narrow dl{grid-template-columns:130px 1fr;font-size:13px;margin-top:24px}
svg{max-width:100%;height:auto;display:block}ul{margin:6px 0;padding-left:20px}li{margin:3px 0}.say{list-style:none;padding:0}.say li{margin:8px 0}
.gap{display:inline-block;min-width:160px;border-bottom:1px solid #111}
.caution{border-left:5px solid #b97a00;padding:4px 12px}
@media(max-width:700px){article{margin:0;padding:20px 16px}dl{grid-template-columns:1fr}dt{margin-top:6px}}
@page{size:A4;margin:18mm 16mm;@bottom-left{content:"${words}";font:9pt system-ui,sans-serif}@bottom-right{content:counter(page) " of " counter(pages);font:9pt system-ui,sans-serif}}
@media print{body{background:#fff;font-size:10.5pt}article{margin:0;padding:0;max-width:none}.page{break-before:page}h2,h3{break-after:avoid}.keep,table,svg,tr{break-inside:avoid}.wide{overflow:visible}a{text-decoration:none}.caution{border-left-color:#111}}
`;
}
