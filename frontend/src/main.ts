import { mount } from "svelte";
import "uplot/dist/uPlot.min.css";
import "./page.css";
import Page from "./Page.svelte";

mount(Page, { target: document.getElementById("page")! });
