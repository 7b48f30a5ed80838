using PatchLang.Declarations;

namespace PatchLang.Checks;

/// <summary>Merges findings that recur in several acts into one that lists those acts.</summary>
internal static class ActsOfDrafts
{
    public static void AddTogether(Plan plan, List<Draft> drafts, DraftBag bag)
    {
        foreach (var same in drafts.GroupBy(d => (d.Message.Kind, d.At, d.Causes.FirstOrDefault())))
        {
            var acts = same.Aggregate(ActSet.None, (all, d) => all | d.Acts);
            var first = same.First();
            bag.Add(first with { Acts = acts, Message = first.Message with { Text = first.Message.Text + plan.During(acts) } });
        }
    }
}
