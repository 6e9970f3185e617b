"""The exact engine: prove, count, candidates and conflicts of a puzzle compiled to primitives."""
