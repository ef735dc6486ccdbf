import { mount } from "svelte";
import "uplot/dist/uPlot.min.css";
import "./page.css";
import Start from "./Start.svelte";

mount(Start, { target: document.getElementById("page")! });
