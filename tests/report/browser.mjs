// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// The browser that the tests share: Debian's Chromium, without a network.
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";

const require = createRequire(`${process.env.REPORT_MODULES}/here.js`);
const { chromium } = require("playwright-core");
export const axeSource = require("axe-core").source;

export const samples = process.env.REPORT_SAMPLES;

export async function browser() {
  return chromium.launch({
    executablePath: process.env.CHROMIUM,
    // Chromium refuses its sandbox to root.
    args: process.getuid() === 0 ? ["--no-sandbox"] : [],
  });
}

/// Opens the report of a sample from disk. `page.faults` gathers console errors, exceptions and
/// every request but the page itself and pictures beside it. `prepare` sees it before it is loaded.
export async function open(instance, name, options = {}, prepare = async () => {}) {
  const context = await instance.newContext({
    viewport: { width: 1440, height: 900 },
    offline: true,
    ...options,
  });
  const page = await context.newPage();
  page.faults = [];
  page.pictures = 0;
  page.on("console", (message) => {
    if (message.type() === "error" || message.type() === "warning") {
      page.faults.push(`console: ${message.text()}`);
    }
  });
  page.on("pageerror", (fault) => page.faults.push(`exception: ${fault.message}`));
  const address = pathToFileURL(`${samples}/${name}/report.html`).href;
  const beside = address.replace("report.html", "report-pictures/");
  page.on("request", (request) => {
    const url = request.url();
    if (url.startsWith(beside)) {
      page.pictures += 1;
    } else if (url !== address && !url.startsWith("data:")) {
      page.faults.push(`request: ${url}`);
    }
  });
  await prepare(page);
  await page.goto(address);
  return page;
}
