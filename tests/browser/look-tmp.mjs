import { launch, serve } from "./support.mjs";
const browser = await launch();
const server = await serve();
const views = ["#now/dark-start-unfinished","#may/plant","#coming","#weeks","#ways","#whatif","#map","#life","#amounts","#amounts/raise-gh","#rules/dark-start-unfinished","#workshop/dark-start-unfinished","#tank","#write","#write/added","#write/dosed"];
const context = await browser.newContext({viewport:{width:1280,height:900}});
context.setDefaultTimeout(30000);
for (const hash of views) {
  const page = await context.newPage();
  page.on("pageerror", e=>console.log("ERR",String(e)));
  page.on("console", m=>["error","warning"].includes(m.type())&&console.log("CON",m.text()));
  await page.goto(server.url+"de.html"+hash);
  await page.locator("body[data-ready]").waitFor();
  await page.locator(".view:not([hidden]) [aria-busy]").waitFor({ state: "detached" }).catch(()=>{});
  await page.waitForTimeout(300);
  for (let i=0;i<4;i++){ await page.evaluate(()=>{for(const d of document.querySelectorAll(".view:not([hidden]) details:not(.chapter):not(.rule), .notebook details"))d.open=true;}); await page.waitForTimeout(100);}
  const texts = await page.evaluate(()=>{
    const out=new Set();
    const walk=document.createTreeWalker(document.body,NodeFilter.SHOW_TEXT);
    while(walk.nextNode()){const n=walk.currentNode;if(n.parentElement.closest("template,script,[hidden]"))continue;if(!n.parentElement.checkVisibility())continue;const t=n.textContent.trim();if(t)out.add(t);}
    return [...out];
  });
  console.log("=====",hash,texts.length); console.log(texts.join("\n"));
  await page.close();
}
await browser.close(); await server.close();
