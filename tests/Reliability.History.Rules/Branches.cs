namespace Reliability.Rules;

/// <summary>Which branches of the rules a record reached, so that a check can show that its records reach them all.</summary>
public sealed class Branches
{
    private readonly HashSet<string> _hit = [];

    public IReadOnlyCollection<string> Hit => _hit;

    public void Reach(string branch) => _hit.Add(branch);
}
