namespace PatchLang.Scripting.Model;

/// <summary>A span in a file of the plan. Lines and columns count from 1, columns in UTF-16 units; offsets count from 0.</summary>
public sealed class Place : IEquatable<Place>
{
    internal Place(Findings.Place place) => Written = place;

    internal Findings.Place Written { get; }

    /// <summary>The file's path within the plan: relative to the root plan's folder, with forward slashes.</summary>
    public string File => Written.Source.Path;

    /// <summary>The line it starts in.</summary>
    public int Line => Written.Source.PositionOf(Written.Span.Start).Line + 1;

    /// <summary>The column it starts in.</summary>
    public int Column => Written.Source.PositionOf(Written.Span.Start).Column + 1;

    /// <summary>The line it ends in.</summary>
    public int EndLine => Written.Source.PositionOf(Written.Span.End).Line + 1;

    /// <summary>The column after its last character.</summary>
    public int EndColumn => Written.Source.PositionOf(Written.Span.End).Column + 1;

    /// <summary>The offset of its first character in the file.</summary>
    public int Start => Written.Span.Start;

    /// <summary>The number of its characters.</summary>
    public int Length => Written.Span.Length;

    /// <summary>The text there.</summary>
    public string Text => Written.Source.Slice(Written.Span).ToString();

    /// <summary>The empty place directly before it.</summary>
    public Place Before => new(new Findings.Place(Written.Source, new Text.TextSpan(Written.Span.Start, 0)));

    /// <summary>The empty place directly after it.</summary>
    public Place Behind => new(new Findings.Place(Written.Source, new Text.TextSpan(Written.Span.End, 0)));

    /// <summary>All of the lines that it is on, without the last line break.</summary>
    public Place WholeLines
    {
        get
        {
            var source = Written.Source;
            var (first, last) = (source.LineSpan(source.PositionOf(Written.Span.Start).Line), source.LineSpan(source.PositionOf(Written.Span.End).Line));
            return new(new Findings.Place(source, first.To(last)));
        }
    }

    /// <inheritdoc/>
    public bool Equals(Place? other) => other is not null && ReferenceEquals(Written.Source, other.Written.Source) && Written.Span == other.Written.Span;

    /// <inheritdoc/>
    public override bool Equals(object? obj) => Equals(obj as Place);

    /// <inheritdoc/>
    public override int GetHashCode() => HashCode.Combine(File, Start, Length);

    /// <summary><c>stage.rig:12:6</c>.</summary>
    public override string ToString() => $"{File}:{Line}:{Column}";
}

/// <summary>Something with a place in the plan, which a finding can be about.</summary>
public interface IPlaced
{
    /// <summary>Its name in the plan.</summary>
    string Name { get; }

    /// <summary>Its place in the plan.</summary>
    Place Place { get; }
}
