namespace PatchLang.LanguageServer.Protocol;

// Our own extension of the protocol: the drawing of the plan that a document belongs to, for a view beside the editor.

/// <summary>
/// Requests a drawing (<c>patchlang/drawing</c>), only its highlighted parts
/// (<c>patchlang/wayAt</c>), or the drawing as a file (<c>patchlang/drawingFile</c>).
/// </summary>
/// <param name="TextDocument">A document of the plan.</param>
/// <param name="Kind"><c>rig</c>, <c>feed</c> or <c>clocks</c>.</param>
internal sealed record DrawingParams(TextDocumentIdentifier TextDocument, string Kind)
{
    /// <summary>The position of the cursor: what belongs to it is highlighted, and the feed there is the one drawn.</summary>
    public Position? Position { get; init; }

    /// <summary>The feed to draw if there is none at the cursor.</summary>
    public string? Of { get; init; }

    /// <summary>Limits the drawing to an act; an act that the plan does not have is ignored.</summary>
    public string? Act { get; init; }

    /// <summary>
    /// The number of syntax and name errors in the picture that the client
    /// shows: if there are more now, no new picture is sent, only the reason.
    /// </summary>
    public int? MostErrors { get; init; }
}

/// <summary>A drawing, or the reason why there is none.</summary>
/// <param name="Plan">The plan's root document.</param>
/// <param name="Kind">The requested kind.</param>
/// <param name="Errors">The number of syntax and name errors in the plan.</param>
/// <param name="Acts">The plan's acts.</param>
internal sealed record DrawingResult(string Plan, string Kind, int Errors, DrawingAct[] Acts)
{
    /// <summary>The version of the document in the request; null if it is not open.</summary>
    public int? Version { get; init; }

    /// <summary>The feed that is drawn.</summary>
    public string? Of { get; init; }

    /// <summary>The act that is drawn; null for all.</summary>
    public string? Act { get; init; }

    public string? Title { get; init; }

    /// <summary>The picture. The ids of its parts are <c>box-</c> or <c>line-</c> with a number. Null if there is none.</summary>
    public string? Svg { get; init; }

    /// <summary>Its style sheet, for a light background; for a dark one inside an element of the class <c>on-dark</c>.</summary>
    public string? Style { get; init; }

    /// <summary>The source locations of its parts.</summary>
    public DrawnThing[]? Things { get; init; }

    /// <summary>The parts that belong to the cursor.</summary>
    public LitThings? Lit { get; init; }

    /// <summary>The reason why there is no picture.</summary>
    public string? Reason { get; init; }

    /// <summary>The location of that reason.</summary>
    public Location? ReasonAt { get; init; }
}

internal sealed record DrawingAct(string Name, string Title);

internal sealed record DrawnThing(string Id, string Uri, Range Range);

/// <summary>The highlighted parts of a drawing.</summary>
/// <param name="Ids">The ids of the parts.</param>
/// <param name="Words">What is highlighted, in words; empty for nothing.</param>
internal sealed record LitThings(string[] Ids, string Words)
{
    /// <summary>The version of the document in the request; null if it is not open.</summary>
    public int? Version { get; init; }

    /// <summary>The feed that the drawing shows; null for drawings of the rig and the clocks.</summary>
    public string? Of { get; init; }
}

/// <summary>A drawing as a file.</summary>
/// <param name="Svg">The file that <c>patchlang draw</c> writes, for light and dark backgrounds.</param>
/// <param name="ForPaper">The same for a light background only, for conversion to a bitmap.</param>
internal sealed record DrawingFileResult(string Svg, string ForPaper);
