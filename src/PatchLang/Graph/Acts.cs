using System.Collections.Immutable;
using PatchLang.Declarations;

namespace PatchLang.Graph;

internal static class ActClasses
{
    /// <summary>Splits acts into the fewest sets such that each lies entirely inside or entirely outside each of <paramref name="by"/>.</summary>
    public static List<ActSet> Split(ActSet acts, IEnumerable<ActSet> by)
    {
        var classes = new List<ActSet>(1) { acts };
        foreach (var set in by) Split(classes, set);
        classes.Sort((a, b) => a.First.CompareTo(b.First));
        return classes;
    }

    /// <summary>Splits each of some sets into its parts inside and outside another set.</summary>
    public static void Split(List<ActSet> classes, ActSet set)
    {
        for (var i = classes.Count - 1; i >= 0; i--)
        {
            var inside = classes[i] & set;
            if (inside.IsEmpty || inside == classes[i]) continue;
            classes[i] -= set;
            classes.Add(inside);
        }
    }
}
